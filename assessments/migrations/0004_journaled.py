from django.db import migrations

from clinic.journal import Journaled
from clinic.sealing import AddTriggers

JOURNALED = {
    "griptest": Journaled(name="grip_test_journaled", without=()),
    "griptrial": Journaled(name="grip_trial_journaled", without=()),
    "measuredvalue": Journaled(name="measured_value_journaled", without=()),
    "activityrating": Journaled(name="activity_rating_journaled", without=()),
    "globalrating": Journaled(name="global_rating_journaled", without=()),
    "timeoffwork": Journaled(name="time_off_work_journaled", without=()),
    "painrating": Journaled(name="pain_rating_journaled", without=()),
    "questionnaireresponse": Journaled(name="questionnaire_response_journaled", without=()),
}


class Migration(migrations.Migration):
    dependencies = [
        ("assessments", "0003_erasable"),
        ("clinic", "0019_journaled"),
    ]
    operations = [AddTriggers(model_name=name, constraint=rule) for name, rule in JOURNALED.items()]
