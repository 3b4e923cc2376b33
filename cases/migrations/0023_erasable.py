"""Let the seals of a patient's rows open while that record is being erased."""

from django.db import migrations

import clinic.constraints
from clinic.sealing import Reseal


class Migration(migrations.Migration):

    dependencies = [
        ("cases", "0022_rights"),
        ("clinic", "0015_erasure"),
    ]

    operations = [
        migrations.AddConstraint(
            model_name="case",
            constraint=clinic.constraints.LookedAt(name="case_looked_at"),
        ),
        Reseal(
            model_name="visit",
            constraint=clinic.constraints.Sealed(name="visit_signed_stays", by="signed_at", may_change=(), erased_with="case.patient"),
        ),
        Reseal(
            model_name="addendum",
            constraint=clinic.constraints.Sealed(name="addendum_stays", by="", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="battery",
            constraint=clinic.constraints.Sealed(name="battery_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="finding",
            constraint=clinic.constraints.Sealed(name="finding_of_signed_visit_stays", by="battery.visit.signed_at", may_change=(), erased_with="battery.visit.case.patient"),
        ),
        Reseal(
            model_name="palpationpoint",
            constraint=clinic.constraints.Sealed(name="palpation_of_signed_visit_stays", by="battery.visit.signed_at", may_change=(), erased_with="battery.visit.case.patient"),
        ),
        Reseal(
            model_name="contact",
            constraint=clinic.constraints.Sealed(name="contact_stays", by="", may_change=(), erased_with="case.patient"),
        ),
    ]
