from django.db import migrations

from clinic.journal import Journaled
from clinic.sealing import AddTriggers

JOURNALED = {
    "patient": Journaled(name="patient_journaled", without=()),
    "case": Journaled(name="case_journaled", without=()),
    "notice": Journaled(name="notice_journaled", without=()),
    "appointment": Journaled(name="appointment_journaled", without=()),
    "intake": Journaled(name="intake_journaled", without=()),
    "injection": Journaled(name="injection_journaled", without=()),
    "activity": Journaled(name="activity_journaled", without=()),
    "screening": Journaled(name="screening_journaled", without=()),
    "screeninganswer": Journaled(name="screening_answer_journaled", without=()),
    "screeningsign": Journaled(name="screening_sign_journaled", without=()),
    "visit": Journaled(name="visit_journaled", without=()),
    "addendum": Journaled(name="addendum_journaled", without=()),
    "battery": Journaled(name="battery_journaled", without=()),
    "finding": Journaled(name="finding_journaled", without=()),
    "palpationpoint": Journaled(name="palpation_point_journaled", without=()),
    "calendarkey": Journaled(name="calendar_key_journaled", without=("digest", "read_on")),
    "contact": Journaled(name="contact_journaled", without=()),
    "mailtext": Journaled(name="mail_text_journaled", without=()),
    "correctionrequest": Journaled(name="correction_request_journaled", without=()),
    "hold": Journaled(name="hold_journaled", without=()),
    "erasurerefusal": Journaled(name="erasure_refusal_journaled", without=()),
    "restriction": Journaled(name="restriction_journaled", without=()),
    "wristangle": Journaled(name="wrist_angle_journaled", without=()),
}


class Migration(migrations.Migration):
    dependencies = [
        ("cases", "0023_erasable"),
        ("clinic", "0019_journaled"),
    ]
    operations = [AddTriggers(model_name=name, constraint=rule) for name, rule in JOURNALED.items()]
