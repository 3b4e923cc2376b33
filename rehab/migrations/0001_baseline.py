"""The tables as the first release has them, with the rules that the database keeps."""

import clinic.constraints
import clinic.journal
import clinic.sealing
import django.db.models.deletion
import django.utils.timezone
import rehab.models.program
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    # A database that was made step by step has all of these and takes this one as applied.
    replaces = [
        ("rehab", "0001_initial"),
        ("rehab", "0002_equipment_thresholds_own_cards"),
        ("rehab", "0003_why_more_exercises"),
        ("rehab", "0004_return_plan_step"),
        ("rehab", "0005_diary_remark"),
        ("rehab", "0006_handout"),
        ("rehab", "0007_handout_kinds"),
        ("rehab", "0008_handout_pages"),
        ("rehab", "0009_packs"),
        ("rehab", "0010_record_copy"),
        ("rehab", "0011_erasable"),
        ("rehab", "0012_journaled"),
        ("rehab", "0013_copy_of_changes"),
    ]

    initial = True

    dependencies = [
        ("cases", "0001_baseline"),
        ("clinic", "0001_baseline"),
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
                ("sha256", models.CharField(max_length=64, verbose_name="SHA-256")),
                ("content", models.BinaryField(verbose_name="content")),
            ],
            options={
                "verbose_name": "file of a handout",
                "verbose_name_plural": "files of handouts",
                "constraints": [
                    models.UniqueConstraint(fields=("clinic", "sha256"), name="handout_file_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="Program",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="programs",
                        to="cases.case",
                    ),
                ),
                ("version", models.PositiveSmallIntegerField(verbose_name="version")),
                ("stage", models.PositiveSmallIntegerField(verbose_name="stage")),
                ("stage_since", models.DateField(verbose_name="in this stage since")),
                (
                    "policy",
                    models.CharField(
                        choices=[("strict", "strict"), ("standard", "standard")],
                        max_length=8,
                        verbose_name="pain policy",
                    ),
                ),
                (
                    "load_kg",
                    models.FloatField(
                        blank=True, null=True, verbose_name="load of the main exercise, kg"
                    ),
                ),
                (
                    "start_load_kg",
                    models.FloatField(
                        blank=True, null=True, verbose_name="load at the start of the stage, kg"
                    ),
                ),
                ("load_since", models.DateField(verbose_name="at this load since")),
                (
                    "smallest_step_kg",
                    models.FloatField(
                        default=0.1, verbose_name="smallest step that the patient owns, kg"
                    ),
                ),
                ("remark", models.TextField(blank=True, verbose_name="remark for the patient")),
                (
                    "weekdays",
                    models.JSONField(
                        default=rehab.models.program.every_day,
                        help_text="0 is Monday, 6 is Sunday.",
                        verbose_name="days that the patient can train",
                    ),
                ),
                (
                    "return_plan",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("racket", "interval racket program"),
                            ("lifting", "graded lifting"),
                        ],
                        default="",
                        max_length=10,
                        verbose_name="return plan",
                    ),
                ),
                (
                    "job_load_kg",
                    models.FloatField(
                        blank=True,
                        null=True,
                        verbose_name="heaviest load that the job asks for, kg",
                    ),
                ),
                (
                    "return_step",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="next step of the return plan"
                    ),
                ),
                (
                    "edition",
                    models.CharField(max_length=20, verbose_name="edition of the exercise cards"),
                ),
                ("issued_at", models.DateTimeField(blank=True, null=True, verbose_name="issued")),
                (
                    "issued_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("ended_at", models.DateTimeField(blank=True, null=True, verbose_name="ended")),
                (
                    "withdrawn_because",
                    models.CharField(blank=True, max_length=300, verbose_name="withdrawn because"),
                ),
                (
                    "more_because",
                    models.CharField(
                        blank=True,
                        default="",
                        max_length=300,
                        verbose_name="why more than four exercises",
                    ),
                ),
            ],
            options={
                "verbose_name": "program",
                "verbose_name_plural": "programs",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("case", "version"), name="program_version_once"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("issued_at__isnull", True)),
                        fields=("case",),
                        name="program_one_draft_a_case",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(
                            ("ended_at__isnull", True), ("issued_at__isnull", False)
                        ),
                        fields=("case",),
                        name="program_one_current_a_case",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("stage__range", (1, 5))),
                        name="program_stage_1_to_5",
                        violation_error_message="The ladder has stages 1 to 5.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("load_kg__isnull", True),
                            models.Q(("load_kg__gte", 0), ("load_kg__lte", 50)),
                            _connector="OR",
                        ),
                        name="program_load_0_to_50_kg",
                        violation_error_message="Enter a load from 0 (without a weight) to 50 kg.",
                    ),
                    models.CheckConstraint(
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
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("ended_at__isnull", True), ("issued_at__isnull", True)),
                            models.Q(("issued_at__isnull", False), ("issued_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="program_issued_by_somebody",
                    ),
                    clinic.constraints.Sealed(
                        by="issued_at",
                        erased_with="case.patient",
                        may_change=("ended_at", "withdrawn_because"),
                        name="program_issued_stays",
                    ),
                    clinic.constraints.Sealed(
                        by="ended_at",
                        erased_with="case.patient",
                        may_change=(),
                        name="program_ended_stays",
                    ),
                    clinic.journal.Journaled(name="program_journaled", without=()),
                ],
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
                    "kind",
                    models.CharField(
                        choices=[
                            ("home program", "home program"),
                            ("diary page", "diary page"),
                            ("return plan", "return plan"),
                            ("visit record", "record of a visit"),
                            ("course", "course"),
                            ("appointment card", "appointment card"),
                            ("self-check sheet", "self-check sheet"),
                            ("summary", "summary"),
                            ("referral letter", "referral letter"),
                            ("home program page", "home program as a page"),
                            ("summary page", "summary as a page"),
                        ],
                        max_length=20,
                        verbose_name="sheet",
                    ),
                ),
                (
                    "printed_at",
                    models.DateTimeField(default=django.utils.timezone.now, verbose_name="printed"),
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
                ("language", models.CharField(max_length=10, verbose_name="language")),
                ("name", models.CharField(max_length=120, verbose_name="file name")),
                ("sha256", models.CharField(max_length=64, verbose_name="SHA-256")),
                ("size", models.PositiveIntegerField(verbose_name="size in bytes")),
                (
                    "file",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handouts",
                        to="rehab.handoutfile",
                    ),
                ),
            ],
            options={
                "verbose_name": "handout",
                "verbose_name_plural": "handouts",
                "indexes": [
                    models.Index(fields=["patient", "-printed_at"], name="handout_of_patient")
                ],
                "constraints": [
                    clinic.constraints.Sealed(
                        by="", erased_with="patient", may_change=(), name="handout_stays"
                    ),
                    clinic.journal.Journaled(name="handout_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="HiddenCard",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                ("card", models.SlugField(max_length=40, verbose_name="exercise")),
            ],
            options={
                "verbose_name": "exercise left out",
                "verbose_name_plural": "exercises left out",
                "constraints": [
                    models.UniqueConstraint(fields=("clinic", "card"), name="hidden_card_once"),
                    clinic.journal.Journaled(name="hidden_card_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="OwnCard",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                ("code", models.SlugField(max_length=40, verbose_name="code")),
                ("edition", models.PositiveSmallIntegerField(default=1, verbose_name="edition")),
                ("name", models.CharField(max_length=60, verbose_name="name")),
                ("start", models.TextField(verbose_name="start")),
                ("steps", models.JSONField(verbose_name="steps")),
                ("usual_mistake", models.CharField(max_length=300, verbose_name="usual mistake")),
                ("caution", models.CharField(blank=True, max_length=300, verbose_name="caution")),
                ("equipment", models.CharField(max_length=200, verbose_name="equipment")),
                ("structures", models.CharField(max_length=200, verbose_name="structures loaded")),
                ("stages", models.JSONField(verbose_name="stages")),
                ("dose", models.JSONField(verbose_name="usual dose")),
                ("gate", models.CharField(blank=True, max_length=200, verbose_name="opens when")),
                ("source", models.CharField(max_length=300, verbose_name="source")),
                ("retired", models.BooleanField(default=False, verbose_name="no longer offered")),
            ],
            options={
                "verbose_name": "exercise of the clinic",
                "verbose_name_plural": "exercises of the clinic",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("clinic", "code", "edition"), name="own_card_edition_once"
                    ),
                    clinic.constraints.Sealed(
                        by="", erased_with="", may_change=(), name="own_card_stays"
                    ),
                    clinic.journal.Journaled(name="own_card_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="PackRun",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                ("day", models.DateField(verbose_name="day")),
                ("two_sided", models.BooleanField(default=True, verbose_name="two-sided")),
                (
                    "made_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now, verbose_name="asked for"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="asked for by",
                    ),
                ),
            ],
            options={
                "verbose_name": "run of packs",
                "verbose_name_plural": "runs of packs",
                "indexes": [models.Index(fields=["clinic", "day"], name="pack_run_of_day")],
                "constraints": [
                    clinic.constraints.Sealed(
                        by="", erased_with="", may_change=(), name="pack_run_stays"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Pack",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "run",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="packs",
                        to="rehab.packrun",
                    ),
                ),
                (
                    "patient",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="cases.patient",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(verbose_name="position")),
                ("kinds", models.JSONField(verbose_name="sheets asked for")),
                (
                    "left_out",
                    models.JSONField(
                        default=list, help_text="Which, and why.", verbose_name="left out"
                    ),
                ),
                ("prepared_at", models.DateTimeField(blank=True, null=True, verbose_name="ready")),
                ("handouts", models.ManyToManyField(related_name="packs", to="rehab.handout")),
            ],
            options={
                "verbose_name": "pack",
                "verbose_name_plural": "packs",
                "constraints": [
                    models.UniqueConstraint(fields=("run", "patient"), name="pack_once_a_patient"),
                    models.UniqueConstraint(fields=("run", "position"), name="pack_position_once"),
                    clinic.constraints.Sealed(
                        by="prepared_at",
                        erased_with="patient",
                        may_change=(),
                        name="pack_ready_stays",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DiaryDay",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="diary_days",
                        to="cases.case",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="diary_days",
                        to="rehab.program",
                    ),
                ),
                ("on", models.DateField(verbose_name="day")),
                ("sets_done", models.PositiveSmallIntegerField(verbose_name="sets done")),
                (
                    "last_set_repetitions",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="repetitions in the last set"
                    ),
                ),
                ("load_kg", models.FloatField(blank=True, null=True, verbose_name="load, kg")),
                (
                    "hold_s",
                    models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="hold, s"),
                ),
                (
                    "worst_pain",
                    models.SmallIntegerField(
                        blank=True, null=True, verbose_name="worst pain during"
                    ),
                ),
                (
                    "next_morning_pain",
                    models.SmallIntegerField(
                        blank=True, null=True, verbose_name="pain next morning"
                    ),
                ),
                (
                    "night_wakings",
                    models.SmallIntegerField(blank=True, null=True, verbose_name="woken at night"),
                ),
                (
                    "sharp_or_locking",
                    models.BooleanField(default=False, verbose_name="sharp pain or locking"),
                ),
                ("remark", models.CharField(blank=True, max_length=500, verbose_name="remark")),
            ],
            options={
                "verbose_name": "diary day",
                "verbose_name_plural": "diary days",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("case", "on"),
                        name="diary_one_row_a_day",
                        violation_error_message="This day is written down already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("worst_pain__isnull", True),
                            ("worst_pain__range", (0, 10)),
                            _connector="OR",
                        ),
                        name="diary_worst_pain_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("next_morning_pain__isnull", True),
                            ("next_morning_pain__range", (0, 10)),
                            _connector="OR",
                        ),
                        name="diary_morning_pain_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("night_wakings__isnull", True),
                            ("night_wakings__range", (0, 20)),
                            _connector="OR",
                        ),
                        name="diary_wakings_0_to_20",
                        violation_error_message="Enter how often the elbow woke the patient, 0–20.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("sets_done__range", (0, 20))),
                        name="diary_sets_0_to_20",
                        violation_error_message="Enter 0 to 20 sets.",
                    ),
                    clinic.journal.Journaled(name="diary_day_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Decision",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "visit",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="decision",
                        to="cases.visit",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="decisions",
                        to="rehab.program",
                        verbose_name="about program",
                    ),
                ),
                (
                    "proposed",
                    models.CharField(
                        choices=[
                            ("move up", "move up"),
                            ("stay", "stay"),
                            ("step back", "step back"),
                            ("stop and review", "stop and review"),
                        ],
                        max_length=20,
                        verbose_name="proposed",
                    ),
                ),
                (
                    "proposed_step",
                    models.CharField(
                        choices=[
                            ("add", "add load"),
                            ("keep", "keep the load"),
                            ("reduce", "reduce the load"),
                        ],
                        max_length=10,
                        verbose_name="proposed load step",
                    ),
                ),
                (
                    "made",
                    models.CharField(
                        choices=[
                            ("move up", "move up"),
                            ("stay", "stay"),
                            ("step back", "step back"),
                            ("stop and review", "stop and review"),
                        ],
                        max_length=20,
                        verbose_name="decided",
                    ),
                ),
                (
                    "made_step",
                    models.CharField(
                        choices=[
                            ("add", "add load"),
                            ("keep", "keep the load"),
                            ("reduce", "reduce the load"),
                        ],
                        max_length=10,
                        verbose_name="load step",
                    ),
                ),
                (
                    "reason",
                    models.CharField(
                        blank=True, max_length=300, verbose_name="reason for deciding otherwise"
                    ),
                ),
                ("proposal", models.JSONField(verbose_name="the proposal as it stood")),
                (
                    "decided_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("decided_at", models.DateTimeField(verbose_name="decided at")),
            ],
            options={
                "verbose_name": "decision",
                "verbose_name_plural": "decisions",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("proposed", models.F("made")),
                                ("proposed_step", models.F("made_step")),
                            ),
                            models.Q(("reason", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="decision_otherwise_has_reason",
                        violation_error_message="Say why you decide otherwise.",
                    ),
                    clinic.constraints.Sealed(
                        by="",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="decision_stays",
                    ),
                    clinic.journal.Journaled(name="decision_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="ProgramExercise",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="exercises",
                        to="rehab.program",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(verbose_name="place in the list")),
                ("card", models.SlugField(max_length=40, verbose_name="exercise")),
                ("sets", models.PositiveSmallIntegerField(verbose_name="sets")),
                (
                    "repetitions",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="repetitions"
                    ),
                ),
                (
                    "hold_s",
                    models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="hold, s"),
                ),
                ("load_kg", models.FloatField(blank=True, null=True, verbose_name="load, kg")),
                (
                    "up_s",
                    models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="up, s"),
                ),
                (
                    "down_s",
                    models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="down, s"),
                ),
                (
                    "rest_s",
                    models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="rest, s"),
                ),
                (
                    "sessions_per_day",
                    models.PositiveSmallIntegerField(default=1, verbose_name="times a day"),
                ),
                ("days_per_week", models.PositiveSmallIntegerField(verbose_name="days a week")),
                ("remark", models.CharField(blank=True, max_length=300, verbose_name="remark")),
                (
                    "words",
                    models.JSONField(
                        blank=True,
                        help_text="Kept with the program, so that a later edition of the card changes nothing.",
                        null=True,
                        verbose_name="the card's words as issued",
                    ),
                ),
            ],
            options={
                "verbose_name": "exercise of a program",
                "verbose_name_plural": "exercises of a program",
                "ordering": ["position"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "position"), name="program_one_exercise_a_place"
                    ),
                    models.UniqueConstraint(fields=("program", "card"), name="program_card_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("repetitions__gte", 1), ("repetitions__lte", 100)),
                            models.Q(("hold_s__gte", 1), ("hold_s__lte", 300)),
                            _connector="OR",
                        ),
                        name="program_exercise_has_work",
                        violation_error_message="Give repetitions (1–100) or a hold in seconds (1–300).",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("sets__range", (1, 10))),
                        name="program_exercise_sets_1_to_10",
                        violation_error_message="Give 1 to 10 sets.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("load_kg__isnull", True),
                            models.Q(("load_kg__gte", 0), ("load_kg__lte", 50)),
                            _connector="OR",
                        ),
                        name="program_exercise_load_0_to_50_kg",
                        violation_error_message="Enter a load from 0 (without a weight) to 50 kg.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("days_per_week__range", (1, 7)), ("sessions_per_day__range", (1, 4))
                        ),
                        name="program_exercise_days_1_to_7",
                        violation_error_message="Give 1 to 7 days a week and 1 to 4 times a day.",
                    ),
                    clinic.constraints.Sealed(
                        by="program.issued_at",
                        erased_with="program.case.patient",
                        may_change=(),
                        name="program_exercise_issued_stays",
                    ),
                    clinic.journal.Journaled(name="program_exercise_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="RecordCopy",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                        related_name="record_copies",
                        to="cases.patient",
                    ),
                ),
                (
                    "made_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now, verbose_name="asked for"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="made by",
                    ),
                ),
                (
                    "receiver",
                    models.CharField(
                        choices=[
                            ("patient", "the patient"),
                            ("acts for", "somebody who acts for the patient"),
                            ("clinician", "another clinician"),
                            ("payer", "an insurer or another payer"),
                            ("authority", "a court or an authority"),
                        ],
                        max_length=10,
                        verbose_name="for",
                    ),
                ),
                (
                    "to_whom",
                    models.CharField(blank=True, max_length=200, verbose_name="name and address"),
                ),
                ("why", models.CharField(max_length=300, verbose_name="why")),
                ("ready_at", models.DateTimeField(blank=True, null=True, verbose_name="ready")),
                ("sha256", models.CharField(blank=True, max_length=64, verbose_name="SHA-256")),
                (
                    "size",
                    models.PositiveBigIntegerField(
                        blank=True, null=True, verbose_name="size in bytes"
                    ),
                ),
                (
                    "removed_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="file removed"),
                ),
            ],
            options={
                "verbose_name": "copy of the record",
                "verbose_name_plural": "copies of the record",
                "indexes": [models.Index(fields=["patient", "-id"], name="record_copy_of_patient")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("receiver", "patient"),
                            models.Q(("to_whom", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="record_copy_names_a_stranger",
                        violation_error_message="Write who gets it, with the address.",
                    ),
                    clinic.constraints.Sealed(
                        by="ready_at",
                        erased_with="patient",
                        may_change=("removed_at",),
                        name="record_copy_ready_stays",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CopyPart",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "copy",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="parts",
                        to="rehab.recordcopy",
                    ),
                ),
                ("position", models.PositiveSmallIntegerField(verbose_name="position")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("person", "the person and the appointments"),
                            ("case", "a case"),
                            ("visits", "visits"),
                            ("programs", "programs and diary"),
                            ("papers", "what was handed out"),
                            ("packs", "packs of sheets"),
                            ("trail", "who has looked and changed"),
                            ("changes", "what it said before"),
                        ],
                        max_length=8,
                        verbose_name="what is in it",
                    ),
                ),
                ("about", models.JSONField(default=list, verbose_name="numbers of the rows")),
                ("sheet", models.BinaryField(null=True, verbose_name="sheet")),
                ("data", models.TextField(blank=True, verbose_name="data")),
                ("made_at", models.DateTimeField(blank=True, null=True, verbose_name="made")),
            ],
            options={
                "verbose_name": "part of a copy",
                "verbose_name_plural": "parts of copies",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("copy", "position"), name="copy_part_position_once"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="StageCheck",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "visit",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stage_check",
                        to="cases.visit",
                    ),
                ),
                (
                    "other_side_sore",
                    models.BooleanField(
                        blank=True,
                        help_text="Then the grip ratio is no yardstick.",
                        null=True,
                        verbose_name="other side sore or weak too",
                    ),
                ),
                (
                    "job_is_light",
                    models.BooleanField(default=False, verbose_name="job and sport are light"),
                ),
                (
                    "test_lift_pain",
                    models.SmallIntegerField(
                        blank=True,
                        null=True,
                        verbose_name="pain in the test lift of the job or sport",
                    ),
                ),
                (
                    "return_steps_done",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="steps of the return plan done"
                    ),
                ),
                (
                    "own_goal_met",
                    models.BooleanField(
                        blank=True, null=True, verbose_name="patient's own goal met"
                    ),
                ),
            ],
            options={
                "verbose_name": "stage check",
                "verbose_name_plural": "stage checks",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("test_lift_pain__isnull", True),
                            ("test_lift_pain__range", (0, 10)),
                            _connector="OR",
                        ),
                        name="stage_check_lift_pain_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("return_steps_done__isnull", True),
                            ("return_steps_done__range", (0, 21)),
                            _connector="OR",
                        ),
                        name="stage_check_steps_0_to_21",
                        violation_error_message="The return plan has 21 steps.",
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="stage_check_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="stage_check_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="ThresholdChange",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                ("code", models.SlugField(max_length=40, verbose_name="threshold")),
                ("value", models.FloatField(blank=True, null=True, verbose_name="value")),
                ("reason", models.CharField(max_length=300, verbose_name="reason")),
                (
                    "changed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "changed_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now, verbose_name="changed at"
                    ),
                ),
            ],
            options={
                "verbose_name": "change of a threshold",
                "verbose_name_plural": "changes of thresholds",
                "indexes": [
                    models.Index(fields=["clinic", "code"], name="threshold_change_of_clinic")
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True),
                        name="threshold_change_has_reason",
                        violation_error_message="Say why the value is changed.",
                    ),
                    clinic.constraints.Sealed(
                        by="", erased_with="", may_change=(), name="threshold_change_stays"
                    ),
                    clinic.journal.Journaled(name="threshold_change_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Equipment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="equipment",
                        to="cases.case",
                    ),
                ),
                (
                    "weights_kg",
                    models.JSONField(
                        blank=True,
                        default=list,
                        help_text="For example 0.5 1 1.5 2.",
                        verbose_name="weights, kg",
                    ),
                ),
                (
                    "has_bottle",
                    models.BooleanField(
                        default=True,
                        verbose_name="a bottle to fill with water (100 ml weighs 0.1 kg)",
                    ),
                ),
                (
                    "band_at_50_n",
                    models.FloatField(
                        blank=True, null=True, verbose_name="band at half as long again, N"
                    ),
                ),
                (
                    "band_at_100_n",
                    models.FloatField(
                        blank=True, null=True, verbose_name="band at double length, N"
                    ),
                ),
                (
                    "hammer_kg",
                    models.FloatField(
                        blank=True, null=True, verbose_name="hammer or offset weight, kg"
                    ),
                ),
                (
                    "hammer_m",
                    models.FloatField(
                        blank=True, null=True, verbose_name="from the grip to the weight, m"
                    ),
                ),
                ("has_ball", models.BooleanField(default=False, verbose_name="a soft ball")),
                (
                    "has_twist_bar",
                    models.BooleanField(default=False, verbose_name="a flexible bar"),
                ),
            ],
            options={
                "verbose_name": "equipment",
                "verbose_name_plural": "equipment",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("band_at_100_n__isnull", True), ("band_at_50_n__isnull", True)
                            ),
                            models.Q(
                                ("band_at_100_n__gt", models.F("band_at_50_n")),
                                ("band_at_50_n__gt", 0),
                            ),
                            _connector="OR",
                        ),
                        name="equipment_band_is_stronger_when_longer",
                        violation_error_message="A band pulls more at double length than at half more.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("hammer_kg__isnull", True), ("hammer_m__isnull", True)),
                            models.Q(
                                ("hammer_kg__gt", 0),
                                ("hammer_kg__lte", 5),
                                ("hammer_m__gt", 0),
                                ("hammer_m__lte", 1),
                            ),
                            _connector="OR",
                        ),
                        name="equipment_hammer_has_length",
                        violation_error_message="Give the offset weight up to 5 kg and its length up to 1 m.",
                    ),
                    clinic.journal.Journaled(name="equipment_journaled", without=()),
                ],
            },
        ),
        clinic.sealing.AddTriggers(
            model_name="handoutfile",
            constraint=clinic.constraints.Sealed(
                by="", erased_with="handouts.patient", may_change=(), name="handout_file_stays"
            ),
        ),
    ]
