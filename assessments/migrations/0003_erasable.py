"""Let the seals of a patient's rows open while that record is being erased."""

from django.db import migrations

import clinic.constraints
from clinic.sealing import Reseal


class Migration(migrations.Migration):

    dependencies = [
        ("assessments", "0002_own_ratings_and_struck_trials"),
        ("cases", "0023_erasable"),
    ]

    operations = [
        Reseal(
            model_name="griptest",
            constraint=clinic.constraints.Sealed(name="grip_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="griptrial",
            constraint=clinic.constraints.Sealed(name="grip_trial_of_signed_visit_stays", by="grip_test.visit.signed_at", may_change=(), erased_with="grip_test.visit.case.patient"),
        ),
        Reseal(
            model_name="measuredvalue",
            constraint=clinic.constraints.Sealed(name="measured_value_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="activityrating",
            constraint=clinic.constraints.Sealed(name="activity_rating_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="globalrating",
            constraint=clinic.constraints.Sealed(name="global_rating_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="timeoffwork",
            constraint=clinic.constraints.Sealed(name="time_off_work_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="painrating",
            constraint=clinic.constraints.Sealed(name="pain_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="questionnaireresponse",
            constraint=clinic.constraints.Sealed(name="questionnaire_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
    ]
