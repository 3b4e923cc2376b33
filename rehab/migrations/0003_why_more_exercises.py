from django.db import migrations, models

from clinic.constraints import Sealed
from clinic.sealing import Seal, Unseal


class Migration(migrations.Migration):
    dependencies = [("rehab", "0002_equipment_thresholds_own_cards")]

    # A seal covers the columns that it was written with, so it is taken off and written again.
    operations = [
        Unseal(model_name="programexercise", name="program_exercise_issued_stays"),
        Unseal(model_name="program", name="program_ended_stays"),
        Unseal(model_name="program", name="program_issued_stays"),
        migrations.AddField(
            model_name="program",
            name="more_because",
            field=models.CharField(
                blank=True,
                default="",
                max_length=300,
                verbose_name="why more than four exercises",
            ),
        ),
        Seal(
            model_name="program",
            constraint=Sealed(
                by="issued_at",
                may_change=("ended_at", "withdrawn_because"),
                name="program_issued_stays",
            ),
        ),
        Seal(
            model_name="program",
            constraint=Sealed(by="ended_at", may_change=(), name="program_ended_stays"),
        ),
        Seal(
            model_name="programexercise",
            constraint=Sealed(
                by="program.issued_at", may_change=(), name="program_exercise_issued_stays"
            ),
        ),
    ]
