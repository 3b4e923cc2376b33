import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

from clinic.constraints import Sealed


class Migration(migrations.Migration):
    dependencies = [
        ("cases", "0007_appointment_kept_index"),
        ("clinic", "0002_grip_rest"),
        ("rehab", "0005_diary_remark"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="HandoutFile",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("sha256", models.CharField(max_length=64, verbose_name="SHA-256")),
                ("content", models.BinaryField(verbose_name="content")),
                (
                    "clinic",
                    models.ForeignKey(
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
            ],
            options={
                "verbose_name": "file of a handout",
                "verbose_name_plural": "files of handouts",
            },
        ),
        migrations.CreateModel(
            name="Handout",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("home program", "home program"),
                            ("diary page", "diary page"),
                            ("return plan", "return plan"),
                            ("visit record", "record of a visit"),
                            ("course", "course"),
                        ],
                        max_length=20,
                        verbose_name="sheet",
                    ),
                ),
                (
                    "printed_at",
                    models.DateTimeField(default=django.utils.timezone.now, verbose_name="printed"),
                ),
                ("language", models.CharField(max_length=10, verbose_name="language")),
                ("name", models.CharField(max_length=120, verbose_name="file name")),
                ("sha256", models.CharField(max_length=64, verbose_name="SHA-256")),
                ("size", models.PositiveIntegerField(verbose_name="size in bytes")),
                (
                    "case",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handouts",
                        to="cases.case",
                    ),
                ),
                (
                    "clinic",
                    models.ForeignKey(
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
                (
                    "patient",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handouts",
                        to="cases.patient",
                    ),
                ),
                (
                    "printed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="printed by",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handouts",
                        to="rehab.program",
                    ),
                ),
                (
                    "file",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="rehab.handoutfile",
                    ),
                ),
            ],
            options={
                "verbose_name": "handout",
                "verbose_name_plural": "handouts",
            },
        ),
        migrations.AddConstraint(
            model_name="handoutfile",
            constraint=models.UniqueConstraint(
                fields=("clinic", "sha256"), name="handout_file_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="handoutfile",
            constraint=Sealed(by="", may_change=(), name="handout_file_stays"),
        ),
        migrations.AddIndex(
            model_name="handout",
            index=models.Index(fields=["patient", "-printed_at"], name="handout_of_patient"),
        ),
        migrations.AddConstraint(
            model_name="handout",
            constraint=Sealed(by="", may_change=(), name="handout_stays"),
        ),
    ]
