"""Let the seals of a patient's rows open while that record is being erased."""

from django.db import migrations
import django.db.models.deletion
from django.db import models

import clinic.constraints
from clinic.sealing import Reseal


class Migration(migrations.Migration):

    dependencies = [
        ("rehab", "0010_record_copy"),
        ("assessments", "0003_erasable"),
    ]

    operations = [
        migrations.AlterField(
            model_name="handout",
            name="file",
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name="handouts", to="rehab.handoutfile"),
        ),
        Reseal(
            model_name="programexercise",
            constraint=clinic.constraints.Sealed(name="program_exercise_issued_stays", by="program.issued_at", may_change=(), erased_with="program.case.patient"),
        ),
        Reseal(
            model_name="program",
            constraint=clinic.constraints.Sealed(name="program_issued_stays", by="issued_at", may_change=('ended_at', 'withdrawn_because'), erased_with="case.patient"),
        ),
        Reseal(
            model_name="program",
            constraint=clinic.constraints.Sealed(name="program_ended_stays", by="ended_at", may_change=(), erased_with="case.patient"),
        ),
        Reseal(
            model_name="decision",
            constraint=clinic.constraints.Sealed(name="decision_stays", by="", may_change=(), erased_with="visit.case.patient"),
        ),
        Reseal(
            model_name="handoutfile",
            constraint=clinic.constraints.Sealed(name="handout_file_stays", by="", may_change=(), erased_with="handouts.patient"),
        ),
        Reseal(
            model_name="handout",
            constraint=clinic.constraints.Sealed(name="handout_stays", by="", may_change=(), erased_with="patient"),
        ),
        Reseal(
            model_name="pack",
            constraint=clinic.constraints.Sealed(name="pack_ready_stays", by="prepared_at", may_change=(), erased_with="patient"),
        ),
        Reseal(
            model_name="recordcopy",
            constraint=clinic.constraints.Sealed(name="record_copy_ready_stays", by="ready_at", may_change=('removed_at',), erased_with="patient"),
        ),
        Reseal(
            model_name="stagecheck",
            constraint=clinic.constraints.Sealed(name="stage_check_of_signed_visit_stays", by="visit.signed_at", may_change=(), erased_with="visit.case.patient"),
        ),
    ]
