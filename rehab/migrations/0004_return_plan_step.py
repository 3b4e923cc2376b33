from django.db import migrations, models

from clinic.constraints import Sealed
from clinic.sealing import Seal, Unseal


class Migration(migrations.Migration):
    dependencies = [("rehab", "0003_why_more_exercises")]

    # A seal covers the columns that it was written with, so it is taken off and written again.
    operations = [
        Unseal(model_name="programexercise", name="program_exercise_issued_stays"),
        Unseal(model_name="program", name="program_ended_stays"),
        Unseal(model_name="program", name="program_issued_stays"),
        migrations.AddField(
            model_name="program",
            name="job_load_kg",
            field=models.FloatField(
                blank=True, null=True, verbose_name="heaviest load that the job asks for, kg"
            ),
        ),
        migrations.AddField(
            model_name="program",
            name="return_step",
            field=models.PositiveSmallIntegerField(
                blank=True, null=True, verbose_name="next step of the return plan"
            ),
        ),
        migrations.AddConstraint(
            model_name="program",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("return_plan", "lifting"), _negated=True),
                    models.Q(
                        ("job_load_kg__gte", 1),
                        ("job_load_kg__isnull", False),
                        ("job_load_kg__lte", 100),
                    ),
                    _connector="OR",
                ),
                name="program_lifting_has_a_job",
                violation_error_message="Enter the heaviest load of the job, 1 to 100 kg.",
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
