"""The tables as the first release has them, with the rules that the database keeps."""

import cases.models.patient
import clinic.constraints
import clinic.journal
import clinic.revision
import clinic.sql
import datetime
import django.contrib.postgres.operations
import django.db.models.deletion
import django.db.models.lookups
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    # A database that was made step by step has all of these and takes this one as applied.
    replaces = [
        ("cases", "0001_initial"),
        ("cases", "0002_load_history"),
        ("cases", "0003_battery_strength_and_points"),
        ("cases", "0004_screening_sign"),
        ("cases", "0005_visit_time_spent"),
        ("cases", "0006_wrist_angle"),
        ("cases", "0007_appointment_kept_index"),
        ("cases", "0008_calendar_key"),
        ("cases", "0009_appointment_sequence"),
        ("cases", "0010_appointment_cancelled_at"),
        ("cases", "0011_contact"),
        ("cases", "0012_mail_consent"),
        ("cases", "0013_notice_mail_text"),
        ("cases", "0014_patient_language"),
        ("cases", "0015_patient_suits"),
        ("cases", "0016_handedness_not_stated"),
        ("cases", "0017_imports"),
        ("cases", "0018_appointment_within_four_hours"),
        ("cases", "0019_book_revision"),
        ("cases", "0020_appointment_arrived_at"),
        ("cases", "0021_notice_series"),
        ("cases", "0022_rights"),
        ("cases", "0023_erasable"),
        ("cases", "0024_journaled"),
    ]

    initial = True

    dependencies = [
        ("clinic", "0001_baseline"),
    ]

    operations = [
        # For the exclusion constraint on appointments; Django makes it a no-op on SQLite.
        django.contrib.postgres.operations.BtreeGistExtension(),
        migrations.CreateModel(
            name="Patient",
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
                    "record_number",
                    models.PositiveIntegerField(editable=False, verbose_name="record number"),
                ),
                ("given_name", models.CharField(max_length=80, verbose_name="given name")),
                ("family_name", models.CharField(max_length=80, verbose_name="family name")),
                ("born", models.DateField(verbose_name="born")),
                (
                    "sex",
                    models.CharField(
                        choices=[
                            ("female", "female"),
                            ("male", "male"),
                            ("unstated", "not stated"),
                        ],
                        help_text="Grip tables are printed for women and men.",
                        max_length=10,
                        verbose_name="sex for reference values",
                    ),
                ),
                (
                    "handedness",
                    models.CharField(
                        choices=[
                            ("right", "right-handed"),
                            ("left", "left-handed"),
                            ("both", "uses both hands alike"),
                            ("unset", "handedness not stated"),
                        ],
                        max_length=5,
                        verbose_name="handedness",
                    ),
                ),
                ("phone", models.CharField(blank=True, max_length=40, verbose_name="phone")),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                (
                    "language",
                    models.CharField(
                        choices=cases.models.patient.languages,
                        default="en",
                        max_length=2,
                        verbose_name="language",
                    ),
                ),
                (
                    "print_size",
                    models.CharField(
                        choices=[("normal", "normal (12 pt)"), ("large", "large (18 pt)")],
                        default="normal",
                        max_length=6,
                        verbose_name="print size",
                    ),
                ),
                (
                    "mail_agreed",
                    models.BooleanField(
                        default=False, verbose_name="agrees to e-mail about appointments"
                    ),
                ),
                (
                    "mail_answered_on",
                    models.DateField(
                        blank=True,
                        editable=False,
                        null=True,
                        verbose_name="answered about e-mail on",
                    ),
                ),
                (
                    "mail_answered_by",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "mail_refused_at",
                    models.DateTimeField(
                        editable=False, null=True, verbose_name="address refused at"
                    ),
                ),
                (
                    "suits_weekdays",
                    models.JSONField(blank=True, default=list, verbose_name="weekdays that suit"),
                ),
                (
                    "suits_parts",
                    models.JSONField(
                        blank=True, default=list, verbose_name="times of day that suit"
                    ),
                ),
                ("search_name", models.CharField(editable=False, max_length=170)),
                (
                    "registered_at",
                    models.DateTimeField(auto_now_add=True, verbose_name="registered"),
                ),
            ],
            options={
                "verbose_name": "patient",
                "verbose_name_plural": "patients",
                "indexes": [
                    models.Index(fields=["clinic", "search_name"], name="patient_by_name"),
                    models.Index(fields=["clinic", "born"], name="patient_by_birth"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("clinic", "record_number"), name="patient_record_number_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("born__gte", datetime.date(1900, 1, 1))),
                        name="patient_born_after_1900",
                        violation_error_message="Enter a birth date after 1900.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("mail_agreed", False),
                            models.Q(
                                ("mail_answered_by__isnull", False),
                                ("mail_answered_on__isnull", False),
                                models.Q(("email", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="patient_agreed_to_mail_by_name",
                        violation_error_message="Who agrees to e-mail has an address, and somebody has recorded it.",
                    ),
                    clinic.journal.Journaled(name="patient_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Case",
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
                        related_name="cases",
                        to="cases.patient",
                        verbose_name="patient",
                    ),
                ),
                (
                    "side",
                    models.CharField(
                        choices=[("right", "right"), ("left", "left")],
                        max_length=5,
                        verbose_name="elbow",
                    ),
                ),
                (
                    "onset",
                    models.DateField(
                        help_text="The day, or the best guess.", verbose_name="began on"
                    ),
                ),
                ("opened", models.DateField(verbose_name="opened on")),
                (
                    "lead",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="cases",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="led by",
                    ),
                ),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("open", "open"),
                            ("discharged", "discharged"),
                            ("declined", "declined"),
                        ],
                        default="open",
                        max_length=10,
                        verbose_name="status",
                    ),
                ),
                ("closed", models.DateField(blank=True, null=True, verbose_name="closed on")),
                (
                    "discharge_reason",
                    models.CharField(blank=True, max_length=200, verbose_name="reason"),
                ),
                ("due_on", models.DateField(blank=True, null=True, verbose_name="due back")),
            ],
            options={
                "verbose_name": "case",
                "verbose_name_plural": "cases",
                "indexes": [
                    models.Index(fields=["clinic", "status", "due_on"], name="case_due"),
                    models.Index(fields=["lead", "status"], name="case_by_lead"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("status", "open")),
                        fields=("patient", "side"),
                        name="case_one_open_an_elbow",
                        violation_error_message="This elbow has an open case already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("onset__lte", models.F("opened"))),
                        name="case_began_before_opening",
                        violation_error_message="The complaint can't begin after the case was opened.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("closed__isnull", True), ("status", "open")),
                            models.Q(
                                models.Q(("status", "open"), _negated=True),
                                ("closed__gte", models.F("opened")),
                            ),
                            _connector="OR",
                        ),
                        name="case_closed_has_a_day",
                        violation_error_message="A closed case needs the day it was closed, not before opening.",
                    ),
                    clinic.constraints.LookedAt(name="case_looked_at"),
                    clinic.journal.Journaled(name="case_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Visit",
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
                        related_name="visits",
                        to="cases.case",
                    ),
                ),
                ("on", models.DateField(verbose_name="date")),
                (
                    "practitioner",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="seen by",
                    ),
                ),
                ("subjective", models.TextField(blank=True, verbose_name="subjective")),
                ("objective", models.TextField(blank=True, verbose_name="objective")),
                ("assessment", models.TextField(blank=True, verbose_name="assessment")),
                ("plan", models.TextField(blank=True, verbose_name="plan")),
                ("treatment", models.TextField(blank=True, verbose_name="treatment given")),
                (
                    "minutes",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="time spent, min"
                    ),
                ),
                ("due_on", models.DateField(blank=True, null=True, verbose_name="wanted back on")),
                ("saved_at", models.DateTimeField(auto_now=True, verbose_name="saved")),
                ("signed_at", models.DateTimeField(blank=True, null=True, verbose_name="signed")),
                (
                    "signed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "signed_name",
                    models.CharField(blank=True, max_length=200, verbose_name="signed name"),
                ),
                (
                    "signed_registration",
                    models.CharField(blank=True, max_length=40, verbose_name="registration number"),
                ),
            ],
            options={
                "verbose_name": "visit",
                "verbose_name_plural": "visits",
                "indexes": [models.Index(fields=["case", "-on", "-id"], name="visit_by_case")],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("signed_at__isnull", True)),
                        fields=("case",),
                        name="visit_one_draft_a_case",
                        violation_error_message="This case has a draft visit already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("signed_at__isnull", True), ("signed_by__isnull", True)),
                            models.Q(("signed_at__isnull", False), ("signed_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="visit_signed_by_somebody",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("minutes__isnull", True), ("minutes__range", (1, 240)), _connector="OR"
                        ),
                        name="visit_minutes_1_to_240",
                        violation_error_message="Enter the time spent in whole minutes, 1–240.",
                    ),
                    clinic.constraints.Sealed(
                        by="signed_at",
                        erased_with="case.patient",
                        may_change=(),
                        name="visit_signed_stays",
                    ),
                    clinic.journal.Journaled(name="visit_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Addendum",
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
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="addenda",
                        to="cases.visit",
                    ),
                ),
                ("text", models.TextField(verbose_name="addendum")),
                ("reason", models.CharField(max_length=200, verbose_name="reason")),
                (
                    "written_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="written by",
                    ),
                ),
                ("written_at", models.DateTimeField(auto_now_add=True, verbose_name="written")),
            ],
            options={
                "verbose_name": "addendum",
                "verbose_name_plural": "addenda",
                "ordering": ["written_at"],
                "constraints": [
                    clinic.constraints.Sealed(
                        by="",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="addendum_stays",
                    ),
                    clinic.journal.Journaled(name="addendum_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Battery",
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
                        related_name="battery",
                        to="cases.visit",
                    ),
                ),
                ("performed_on", models.DateField(verbose_name="performed on")),
                (
                    "performed_by",
                    models.CharField(
                        choices=[
                            ("clinician", "clinician"),
                            ("partner", "partner"),
                            ("self", "patient alone"),
                        ],
                        default="clinician",
                        max_length=10,
                        verbose_name="performed by",
                    ),
                ),
                (
                    "resting_pain",
                    models.SmallIntegerField(verbose_name="resting pain before the tests"),
                ),
                (
                    "despite",
                    models.CharField(blank=True, max_length=200, verbose_name="gone on despite"),
                ),
            ],
            options={
                "verbose_name": "battery",
                "verbose_name_plural": "batteries",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("resting_pain__range", (0, 10))),
                        name="battery_resting_pain_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="battery_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="battery_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Appointment",
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
                        related_name="appointments",
                        to="cases.patient",
                        verbose_name="patient",
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="appointments",
                        to="cases.case",
                    ),
                ),
                (
                    "practitioner",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="appointments",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="with",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("first", "first visit"),
                            ("follow-up", "follow-up"),
                            ("review", "review"),
                            ("discharge", "discharge"),
                        ],
                        default="follow-up",
                        max_length=10,
                        verbose_name="kind",
                    ),
                ),
                ("starts_at", models.DateTimeField(verbose_name="starts")),
                ("ends_at", models.DateTimeField(verbose_name="ends")),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("booked", "booked"),
                            ("arrived", "arrived"),
                            ("seen", "seen"),
                            ("missed", "missed"),
                            ("cancelled", "cancelled"),
                        ],
                        default="booked",
                        max_length=10,
                        verbose_name="status",
                    ),
                ),
                (
                    "arrived_at",
                    models.DateTimeField(
                        blank=True, editable=False, null=True, verbose_name="arrived"
                    ),
                ),
                (
                    "cancel_reason",
                    models.CharField(blank=True, max_length=200, verbose_name="why cancelled"),
                ),
                (
                    "cancelled_at",
                    models.DateTimeField(
                        blank=True, editable=False, null=True, verbose_name="cancelled"
                    ),
                ),
                (
                    "sequence",
                    models.PositiveSmallIntegerField(
                        default=0, editable=False, verbose_name="revision in calendars"
                    ),
                ),
            ],
            options={
                "verbose_name": "appointment",
                "verbose_name_plural": "appointments",
                "indexes": [
                    models.Index(
                        fields=["practitioner", "ends_at"], name="appointment_by_practitioner"
                    ),
                    models.Index(fields=["clinic", "starts_at"], name="appointment_by_day"),
                    models.Index(fields=["case", "starts_at"], name="appointment_by_case"),
                    models.Index(
                        fields=["clinic", "status", "starts_at", "case"], name="appointment_kept"
                    ),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("ends_at__gt", models.F("starts_at"))),
                        name="appointment_ends_after_start",
                        violation_error_message="An appointment can't end before it starts.",
                    ),
                    models.CheckConstraint(
                        condition=django.db.models.lookups.LessThanOrEqual(
                            clinic.sql.MinutesBetween("starts_at", "ends_at"), 240.5
                        ),
                        name="appointment_within_four_hours",
                        violation_error_message="An appointment takes at most 240 minutes.",
                    ),
                    clinic.constraints.NoOverlap(
                        end="ends_at",
                        name="practitioner_double_booked",
                        resource="practitioner",
                        start="starts_at",
                        unless=("status", "cancelled"),
                        violation_error_message="The practitioner is already booked then.",
                    ),
                    clinic.revision.RaisesRevision(name="appointment_raises_revision"),
                    clinic.journal.Journaled(name="appointment_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Import",
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
                    "kind",
                    models.CharField(
                        choices=[
                            ("patients", "patients"),
                            ("appointments", "appointments to come"),
                        ],
                        max_length=12,
                        verbose_name="what is in it",
                    ),
                ),
                ("file_name", models.CharField(max_length=120, verbose_name="file")),
                ("sha256", models.CharField(editable=False, max_length=64)),
                ("size", models.PositiveIntegerField(default=0, verbose_name="bytes")),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="by",
                    ),
                ),
                (
                    "made_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now, verbose_name="uploaded"
                    ),
                ),
                ("encoding", models.CharField(max_length=10, verbose_name="encoding")),
                ("delimiter", models.CharField(max_length=1, verbose_name="separator")),
                ("head", models.JSONField(default=list, verbose_name="headings")),
                (
                    "columns",
                    models.JSONField(
                        default=dict, help_text="Place by what it says.", verbose_name="columns"
                    ),
                ),
                ("orders", models.JSONField(default=dict, verbose_name="order of dates")),
                ("meanings", models.JSONField(default=dict, verbose_name="meaning of words")),
                ("total", models.PositiveIntegerField(default=0, verbose_name="rows")),
                ("checked", models.PositiveIntegerField(default=0, verbose_name="rows checked")),
                (
                    "all_or_nothing",
                    models.BooleanField(default=True, verbose_name="all or nothing"),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("open", "columns to be named"),
                            ("checking", "being checked"),
                            ("checked", "checked"),
                            ("writing", "being brought in"),
                            ("done", "brought in"),
                            ("undoing", "being taken back"),
                            ("undone", "taken back"),
                            ("cancelled", "cancelled"),
                        ],
                        default="open",
                        max_length=10,
                        verbose_name="state",
                    ),
                ),
                (
                    "finished_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="finished"),
                ),
            ],
            options={
                "verbose_name": "import",
                "verbose_name_plural": "imports",
                "indexes": [models.Index(fields=["clinic", "-id"], name="import_by_clinic")],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("state__in", ["writing", "done"])),
                        fields=("clinic", "kind", "sha256"),
                        name="import_file_once",
                        violation_error_message="This file has been brought in already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ImportPart",
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
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="file_parts",
                        to="cases.import",
                    ),
                ),
                ("number", models.PositiveIntegerField(verbose_name="number")),
                ("content", models.BinaryField(verbose_name="content")),
            ],
            options={
                "verbose_name": "part of a file",
                "verbose_name_plural": "parts of files",
                "constraints": [
                    models.UniqueConstraint(fields=("run", "number"), name="import_part_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="Injection",
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
                        related_name="injections",
                        to="cases.case",
                    ),
                ),
                ("given_on", models.DateField(verbose_name="given on")),
                (
                    "substance",
                    models.CharField(
                        choices=[("corticosteroid", "corticosteroid"), ("other", "other")],
                        max_length=20,
                        verbose_name="what",
                    ),
                ),
            ],
            options={
                "verbose_name": "injection",
                "verbose_name_plural": "injections",
                "ordering": ["given_on"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("case", "given_on", "substance"), name="injection_once_a_day"
                    ),
                    clinic.journal.Journaled(name="injection_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Intake",
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
                    "racket_sport",
                    models.BooleanField(blank=True, null=True, verbose_name="racket sport"),
                ),
                (
                    "racket_years",
                    models.SmallIntegerField(blank=True, null=True, verbose_name="years of play"),
                ),
                ("racket_hours", models.FloatField(blank=True, null=True, verbose_name="play now")),
                (
                    "racket_hours_before",
                    models.FloatField(blank=True, null=True, verbose_name="play 8 weeks before"),
                ),
                (
                    "backhand",
                    models.CharField(
                        blank=True,
                        choices=[("one", "one hand"), ("two", "two hands"), ("both", "both ways")],
                        max_length=4,
                        verbose_name="backhand",
                    ),
                ),
                (
                    "grip_size",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("L0", "L0, 4 in"),
                            ("L1", "L1, 4⅛ in"),
                            ("L2", "L2, 4¼ in"),
                            ("L3", "L3, 4⅜ in"),
                            ("L4", "L4, 4½ in"),
                            ("L5", "L5, 4⅝ in"),
                        ],
                        max_length=2,
                        verbose_name="grip size",
                    ),
                ),
                (
                    "string_tension",
                    models.FloatField(blank=True, null=True, verbose_name="string tension"),
                ),
                (
                    "string_tension_unit",
                    models.CharField(
                        blank=True,
                        choices=[("lbf", "lb"), ("kgf", "kg"), ("N", "N")],
                        max_length=3,
                        verbose_name="unit of the tension",
                    ),
                ),
                (
                    "racket_change",
                    models.CharField(blank=True, max_length=200, verbose_name="what changed"),
                ),
                (
                    "work_force",
                    models.BooleanField(blank=True, null=True, verbose_name="forceful work"),
                ),
                (
                    "work_repetition",
                    models.BooleanField(blank=True, null=True, verbose_name="repetitive work"),
                ),
                (
                    "work_twisting",
                    models.BooleanField(blank=True, null=True, verbose_name="repeated twisting"),
                ),
                (
                    "work_tools",
                    models.BooleanField(blank=True, null=True, verbose_name="tools over 1 kg"),
                ),
                (
                    "work_heavy",
                    models.BooleanField(blank=True, null=True, verbose_name="handling over 20 kg"),
                ),
                (
                    "work_bent_hours",
                    models.FloatField(blank=True, null=True, verbose_name="wrist bent, a day"),
                ),
                (
                    "screen_hours",
                    models.FloatField(blank=True, null=True, verbose_name="at a screen"),
                ),
                ("music", models.CharField(blank=True, max_length=120, verbose_name="instrument")),
                (
                    "music_hours",
                    models.FloatField(blank=True, null=True, verbose_name="playing music"),
                ),
                ("crafts", models.CharField(blank=True, max_length=120, verbose_name="crafts")),
                (
                    "crafts_hours",
                    models.FloatField(blank=True, null=True, verbose_name="at crafts"),
                ),
                (
                    "gardening_hours",
                    models.FloatField(blank=True, null=True, verbose_name="gardening"),
                ),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="intake",
                        to="cases.case",
                    ),
                ),
                (
                    "manner",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("gradual", "came on gradually"),
                            ("load", "came after a change of load"),
                            ("sudden", "came suddenly"),
                            ("blow", "came after a blow or a fall"),
                        ],
                        max_length=10,
                        verbose_name="how it began",
                    ),
                ),
                ("story", models.TextField(blank=True, verbose_name="in the patient's words")),
                (
                    "occupation",
                    models.CharField(blank=True, max_length=120, verbose_name="occupation"),
                ),
                (
                    "sport",
                    models.CharField(
                        blank=True, max_length=120, verbose_name="sport, music, crafts"
                    ),
                ),
                (
                    "found_at",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("epicondyle", "on the outer bump or just below it"),
                            ("below", "3–5 cm below it, in the forearm"),
                            ("above", "above it, on the ridge"),
                            ("behind", "behind it, at the joint line"),
                            ("elsewhere", "somewhere else"),
                            ("nowhere", "no one place"),
                        ],
                        max_length=10,
                        verbose_name="where it hurts",
                    ),
                ),
                (
                    "spreads_to",
                    models.JSONField(blank=True, default=list, verbose_name="where it spreads"),
                ),
                ("weak_grip", models.BooleanField(blank=True, null=True, verbose_name="weak grip")),
                (
                    "night_pain",
                    models.BooleanField(blank=True, null=True, verbose_name="pain at night"),
                ),
                (
                    "stiff_minutes",
                    models.SmallIntegerField(
                        blank=True, null=True, verbose_name="stiff in the morning"
                    ),
                ),
                (
                    "provoked_by",
                    models.JSONField(blank=True, default=list, verbose_name="what provokes it"),
                ),
                (
                    "rest_pain",
                    models.SmallIntegerField(blank=True, null=True, verbose_name="pain at rest"),
                ),
                (
                    "worst_pain",
                    models.SmallIntegerField(
                        blank=True, null=True, verbose_name="worst pain in 24 h"
                    ),
                ),
                (
                    "nights_woken",
                    models.SmallIntegerField(
                        blank=True, null=True, verbose_name="nights woken a week"
                    ),
                ),
                (
                    "lasts_over_24_h",
                    models.BooleanField(
                        blank=True, null=True, verbose_name="lasts over 24 h after light use"
                    ),
                ),
                (
                    "earlier_episodes",
                    models.SmallIntegerField(
                        blank=True, null=True, verbose_name="earlier episodes"
                    ),
                ),
                (
                    "earlier_treatment",
                    models.TextField(blank=True, verbose_name="earlier treatment"),
                ),
                ("medicines", models.TextField(blank=True, verbose_name="medicines")),
                (
                    "fluoroquinolone",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("no", "no"),
                            ("past", "yes, in the last months"),
                            ("now", "yes, now"),
                        ],
                        max_length=4,
                        verbose_name="fluoroquinolone antibiotic",
                    ),
                ),
                ("neck_pain", models.BooleanField(blank=True, null=True, verbose_name="neck pain")),
                (
                    "other_joints",
                    models.CharField(blank=True, max_length=200, verbose_name="other joints"),
                ),
                ("written_at", models.DateTimeField(auto_now=True, verbose_name="saved")),
            ],
            options={
                "verbose_name": "intake",
                "verbose_name_plural": "intakes",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rest_pain__isnull", True),
                            ("rest_pain__range", (0, 10)),
                            _connector="OR",
                        ),
                        name="intake_rest_pain_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("worst_pain__isnull", True),
                            ("worst_pain__range", (0, 10)),
                            _connector="OR",
                        ),
                        name="intake_worst_pain_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("nights_woken__isnull", True),
                            ("nights_woken__range", (0, 7)),
                            _connector="OR",
                        ),
                        name="intake_nights_0_to_7",
                        violation_error_message="A week has 0 to 7 nights.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("stiff_minutes__isnull", True),
                            ("stiff_minutes__range", (0, 1440)),
                            _connector="OR",
                        ),
                        name="intake_stiff_up_to_a_day",
                        violation_error_message="A day has 1440 minutes.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("earlier_episodes__isnull", True),
                            ("earlier_episodes__range", (0, 50)),
                            _connector="OR",
                        ),
                        name="intake_episodes_0_to_50",
                        violation_error_message="Episodes from 0 to 50.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("racket_hours__isnull", True),
                            ("racket_hours__range", (0, 168)),
                            _connector="OR",
                        ),
                        name="intake_racket_hours_of_a_week",
                        violation_error_message="A week has 168 hours.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("racket_hours_before__isnull", True),
                            ("racket_hours_before__range", (0, 168)),
                            _connector="OR",
                        ),
                        name="intake_racket_hours_before_of_a_week",
                        violation_error_message="A week has 168 hours.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("screen_hours__isnull", True),
                            ("screen_hours__range", (0, 168)),
                            _connector="OR",
                        ),
                        name="intake_screen_hours_of_a_week",
                        violation_error_message="A week has 168 hours.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("music_hours__isnull", True),
                            ("music_hours__range", (0, 168)),
                            _connector="OR",
                        ),
                        name="intake_music_hours_of_a_week",
                        violation_error_message="A week has 168 hours.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("crafts_hours__isnull", True),
                            ("crafts_hours__range", (0, 168)),
                            _connector="OR",
                        ),
                        name="intake_crafts_hours_of_a_week",
                        violation_error_message="A week has 168 hours.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("gardening_hours__isnull", True),
                            ("gardening_hours__range", (0, 168)),
                            _connector="OR",
                        ),
                        name="intake_gardening_hours_of_a_week",
                        violation_error_message="A week has 168 hours.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("work_bent_hours__isnull", True),
                            ("work_bent_hours__range", (0, 24)),
                            _connector="OR",
                        ),
                        name="intake_bent_hours_of_a_day",
                        violation_error_message="A day has 24 hours.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("racket_years__isnull", True),
                            ("racket_years__range", (0, 90)),
                            _connector="OR",
                        ),
                        name="intake_years_of_a_life",
                        violation_error_message="Years from 0 to 90.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("string_tension__isnull", True),
                            ("string_tension__range", (1, 400)),
                            _connector="OR",
                        ),
                        name="intake_tension_above_0",
                        violation_error_message="Check the number and its unit.",
                    ),
                    clinic.journal.Journaled(name="intake_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="MailText",
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
                    "occasion",
                    models.CharField(
                        choices=[
                            ("booked", "invitation"),
                            ("series", "invitation to a series"),
                            ("moved", "new time"),
                            ("reminder", "reminder"),
                            ("cancelled", "cancellation"),
                        ],
                        max_length=10,
                        verbose_name="about",
                    ),
                ),
                (
                    "language",
                    models.CharField(
                        choices=cases.models.patient.languages,
                        max_length=2,
                        verbose_name="language",
                    ),
                ),
                ("subject", models.CharField(max_length=150, verbose_name="subject")),
                ("body", models.TextField(max_length=2000, verbose_name="text")),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="changed")),
                (
                    "changed_by",
                    models.ForeignKey(
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="by",
                    ),
                ),
            ],
            options={
                "verbose_name": "text of an e-mail",
                "verbose_name_plural": "texts of e-mails",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("clinic", "occasion", "language"), name="mail_text_once"
                    ),
                    clinic.journal.Journaled(name="mail_text_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Notice",
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
                    "appointment",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="notices",
                        to="cases.appointment",
                    ),
                ),
                (
                    "occasion",
                    models.CharField(
                        choices=[
                            ("booked", "invitation"),
                            ("series", "invitation to a series"),
                            ("moved", "new time"),
                            ("reminder", "reminder"),
                            ("cancelled", "cancellation"),
                        ],
                        max_length=10,
                        verbose_name="about",
                    ),
                ),
                (
                    "sequence",
                    models.PositiveSmallIntegerField(verbose_name="revision of the booking"),
                ),
                ("series", models.UUIDField(editable=False, null=True, verbose_name="series")),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("waiting", "waiting"),
                            ("sending", "being sent"),
                            ("sent", "sent"),
                            ("failed", "not reached"),
                            ("dropped", "not needed"),
                            ("settled", "told otherwise"),
                        ],
                        default="waiting",
                        max_length=10,
                        verbose_name="status",
                    ),
                ),
                ("why", models.CharField(blank=True, max_length=20, verbose_name="why")),
                (
                    "answer",
                    models.CharField(
                        blank=True, max_length=300, verbose_name="what the mail server said"
                    ),
                ),
                ("tries", models.PositiveSmallIntegerField(default=0, verbose_name="tries")),
                ("written_at", models.DateTimeField(verbose_name="written")),
                ("due_at", models.DateTimeField(verbose_name="next try")),
                ("claimed_at", models.DateTimeField(editable=False, null=True)),
                ("sent_at", models.DateTimeField(editable=False, null=True, verbose_name="sent")),
                ("sent_to", models.EmailField(blank=True, max_length=254, verbose_name="to")),
                ("subject", models.CharField(blank=True, max_length=300, verbose_name="subject")),
                ("body", models.TextField(blank=True, verbose_name="text")),
                (
                    "settled_at",
                    models.DateTimeField(editable=False, null=True, verbose_name="told otherwise"),
                ),
                (
                    "settled_by",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "e-mail about an appointment",
                "verbose_name_plural": "e-mail about appointments",
                "indexes": [
                    models.Index(fields=["status", "due_at"], name="notice_to_send"),
                    models.Index(
                        fields=["clinic", "status", "-written_at"], name="notice_by_status"
                    ),
                    models.Index(fields=["clinic", "-written_at"], name="notice_by_clinic"),
                    models.Index(fields=["series", "status"], name="notice_by_series"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("appointment", "occasion", "sequence"), name="notice_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("occasion", "series"), ("series__isnull", False)),
                            models.Q(
                                models.Q(("occasion", "series"), _negated=True),
                                ("series__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="notice_series_named",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("status", "sent"), _negated=True),
                            models.Q(
                                ("sent_at__isnull", False), models.Q(("sent_to", ""), _negated=True)
                            ),
                            _connector="OR",
                        ),
                        name="notice_sent_somewhere",
                    ),
                    clinic.journal.Journaled(name="notice_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="PalpationPoint",
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
                    "battery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="points",
                        to="cases.battery",
                    ),
                ),
                ("point", models.SlugField(max_length=20, verbose_name="point")),
                (
                    "side",
                    models.CharField(
                        choices=[("right", "right"), ("left", "left")],
                        max_length=5,
                        verbose_name="side",
                    ),
                ),
                ("pain", models.SmallIntegerField(verbose_name="pain")),
            ],
            options={
                "verbose_name": "palpation point",
                "verbose_name_plural": "palpation points",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("battery", "point", "side"), name="palpation_point_once_a_side"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pain__isnull", True), ("pain__range", (0, 10)), _connector="OR"
                        ),
                        name="palpation_pain_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    clinic.constraints.Sealed(
                        by="battery.visit.signed_at",
                        erased_with="battery.visit.case.patient",
                        may_change=(),
                        name="palpation_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="palpation_point_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="ImportRow",
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
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="rows",
                        to="cases.import",
                    ),
                ),
                ("line", models.PositiveIntegerField(verbose_name="line")),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("good", "can be brought in"),
                            ("wrong", "has an error"),
                            ("known", "there already"),
                            ("brought", "brought in"),
                            ("stays", "used meanwhile, so not taken back"),
                        ],
                        max_length=8,
                        verbose_name="state",
                    ),
                ),
                ("anyway", models.BooleanField(default=False, verbose_name="bring in anyway")),
                ("cells", models.JSONField(default=dict, verbose_name="cells")),
                ("problems", models.JSONField(default=list, verbose_name="what is wrong")),
                (
                    "own_number",
                    models.CharField(blank=True, max_length=80, verbose_name="number in the file"),
                ),
                ("name", models.CharField(blank=True, help_text="For comparing.", max_length=170)),
                ("born", models.DateField(null=True, verbose_name="born")),
                ("starts_at", models.DateTimeField(null=True, verbose_name="starts")),
                ("ends_at", models.DateTimeField(null=True, verbose_name="ends")),
                (
                    "practitioner",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "patient",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="came_with",
                        to="cases.patient",
                    ),
                ),
                (
                    "appointment",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="came_with",
                        to="cases.appointment",
                    ),
                ),
            ],
            options={
                "verbose_name": "row of an import",
                "verbose_name_plural": "rows of imports",
                "indexes": [
                    models.Index(fields=["run", "state", "line"], name="import_row_in_state"),
                    models.Index(fields=["clinic", "own_number"], name="import_row_by_number"),
                    models.Index(fields=["run", "born"], name="import_row_by_birth"),
                    models.Index(fields=["run", "starts_at"], name="import_row_by_time"),
                ],
                "constraints": [
                    models.UniqueConstraint(fields=("run", "line"), name="import_row_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="Hold",
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
                        related_name="holds",
                        to="cases.patient",
                    ),
                ),
                ("reason", models.CharField(max_length=300, verbose_name="reason")),
                (
                    "placed_at",
                    models.DateTimeField(default=django.utils.timezone.now, verbose_name="placed"),
                ),
                (
                    "placed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="placed by",
                    ),
                ),
                ("lifted_at", models.DateTimeField(blank=True, null=True, verbose_name="lifted")),
                (
                    "lifted_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="lifted by",
                    ),
                ),
            ],
            options={
                "verbose_name": "hold",
                "verbose_name_plural": "holds",
                "constraints": [
                    clinic.journal.Journaled(name="hold_journaled", without=()),
                    models.UniqueConstraint(
                        condition=models.Q(("lifted_at__isnull", True)),
                        fields=("patient",),
                        name="hold_one_standing_a_patient",
                        violation_error_message="The record is on hold already.",
                    ),
                    clinic.constraints.Sealed(
                        by="",
                        erased_with="patient",
                        may_change=("lifted_at", "lifted_by"),
                        name="hold_placed_stays",
                    ),
                    clinic.constraints.Sealed(
                        by="lifted_at",
                        erased_with="patient",
                        may_change=(),
                        name="hold_lifted_stays",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ErasureRefusal",
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
                        related_name="erasure_refusals",
                        to="cases.patient",
                    ),
                ),
                ("asked_on", models.DateField(verbose_name="asked on")),
                (
                    "refused_at",
                    models.DateTimeField(default=django.utils.timezone.now, verbose_name="refused"),
                ),
                (
                    "refused_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="refused by",
                    ),
                ),
                ("kept_until", models.DateField(verbose_name="kept until")),
                ("reason", models.CharField(max_length=500, verbose_name="reason")),
            ],
            options={
                "verbose_name": "refused erasure",
                "verbose_name_plural": "refused erasures",
                "constraints": [
                    clinic.constraints.Sealed(
                        by="", erased_with="patient", may_change=(), name="erasure_refusal_stays"
                    ),
                    clinic.journal.Journaled(name="erasure_refusal_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="CorrectionRequest",
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
                        related_name="corrections",
                        to="cases.patient",
                    ),
                ),
                ("asked_on", models.DateField(verbose_name="asked on")),
                ("what", models.TextField(verbose_name="what is to be corrected")),
                (
                    "taken_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="written down by",
                    ),
                ),
                ("taken_at", models.DateTimeField(auto_now_add=True, verbose_name="written down")),
                ("due_on", models.DateField(verbose_name="answer due on")),
                (
                    "answer",
                    models.CharField(
                        blank=True,
                        choices=[("granted", "granted"), ("refused", "refused")],
                        max_length=7,
                        verbose_name="answer",
                    ),
                ),
                (
                    "because",
                    models.CharField(
                        blank=True, max_length=500, verbose_name="reason, as told to the patient"
                    ),
                ),
                (
                    "answered_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="answered"),
                ),
                (
                    "answered_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="answered by",
                    ),
                ),
                (
                    "addendum",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="corrections",
                        to="cases.addendum",
                        verbose_name="addendum that it came to",
                    ),
                ),
            ],
            options={
                "verbose_name": "request for correction",
                "verbose_name_plural": "requests for correction",
                "indexes": [
                    models.Index(
                        condition=models.Q(("answer", "")),
                        fields=["clinic", "due_on"],
                        name="correction_open",
                    )
                ],
                "constraints": [
                    clinic.journal.Journaled(name="correction_request_journaled", without=()),
                    models.CheckConstraint(
                        condition=models.Q(("answer", "refused"), ("because", ""), _negated=True),
                        name="correction_refused_has_reason",
                        violation_error_message="Write why it is refused.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("answer", ""),
                                ("answered_at__isnull", True),
                                ("answered_by__isnull", True),
                            ),
                            models.Q(
                                models.Q(("answer", ""), _negated=True),
                                ("answered_at__isnull", False),
                                ("answered_by__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="correction_answered_by_somebody",
                    ),
                    clinic.constraints.Sealed(
                        by="",
                        erased_with="patient",
                        may_change=("answer", "because", "answered_at", "answered_by", "addendum"),
                        name="correction_taken_stays",
                    ),
                    clinic.constraints.Sealed(
                        by="answered_at",
                        erased_with="patient",
                        may_change=(),
                        name="correction_answered_stays",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Restriction",
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
                        related_name="restrictions",
                        to="cases.patient",
                    ),
                ),
                ("reason", models.CharField(max_length=300, verbose_name="reason")),
                ("since", models.DateField(verbose_name="from")),
                ("until", models.DateField(blank=True, null=True, verbose_name="until")),
                (
                    "placed_at",
                    models.DateTimeField(default=django.utils.timezone.now, verbose_name="placed"),
                ),
                (
                    "placed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="placed by",
                    ),
                ),
                ("lifted_at", models.DateTimeField(blank=True, null=True, verbose_name="lifted")),
                (
                    "lifted_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="lifted by",
                    ),
                ),
            ],
            options={
                "verbose_name": "restriction",
                "verbose_name_plural": "restrictions",
                "constraints": [
                    clinic.journal.Journaled(name="restriction_journaled", without=()),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("until__isnull", True),
                            ("until__gte", models.F("since")),
                            _connector="OR",
                        ),
                        name="restriction_ends_after_it_begins",
                        violation_error_message="The last day can't come before the first.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("lifted_at__isnull", True), ("until__isnull", True)),
                        fields=("patient",),
                        name="restriction_one_standing_a_patient",
                        violation_error_message="The record is restricted already.",
                    ),
                    clinic.constraints.Sealed(
                        by="",
                        erased_with="patient",
                        may_change=("lifted_at", "lifted_by"),
                        name="restriction_placed_stays",
                    ),
                    clinic.constraints.Sealed(
                        by="lifted_at",
                        erased_with="patient",
                        may_change=(),
                        name="restriction_lifted_stays",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Screening",
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
                        related_name="screenings",
                        to="cases.case",
                    ),
                ),
                ("on", models.DateField(verbose_name="asked on")),
                (
                    "asked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="asked by",
                    ),
                ),
            ],
            options={
                "verbose_name": "screening",
                "verbose_name_plural": "screenings",
                "constraints": [clinic.journal.Journaled(name="screening_journaled", without=())],
            },
        ),
        migrations.CreateModel(
            name="ScreeningAnswer",
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
                    "screening",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="answers",
                        to="cases.screening",
                    ),
                ),
                ("question", models.SlugField(max_length=40, verbose_name="question")),
                (
                    "answer",
                    models.CharField(
                        choices=[("yes", "yes"), ("no", "no"), ("unknown", "not known")],
                        max_length=7,
                        verbose_name="answer",
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=300, verbose_name="note")),
                (
                    "action_taken",
                    models.CharField(blank=True, max_length=300, verbose_name="what was done"),
                ),
                (
                    "action_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("action_at", models.DateTimeField(blank=True, null=True)),
            ],
            options={
                "verbose_name": "screening answer",
                "verbose_name_plural": "screening answers",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("screening", "question"), name="screening_one_answer_a_question"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("action_taken", ""),
                            models.Q(("action_at__isnull", False), ("action_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="screening_action_has_its_person",
                    ),
                    clinic.journal.Journaled(name="screening_answer_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="ScreeningSign",
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
                    "screening",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signs",
                        to="cases.screening",
                    ),
                ),
                ("sign", models.SlugField(max_length=40, verbose_name="sign")),
                (
                    "side",
                    models.CharField(
                        blank=True,
                        choices=[("right", "right"), ("left", "left")],
                        max_length=5,
                        verbose_name="side",
                    ),
                ),
                (
                    "outcome",
                    models.CharField(
                        choices=[("found", "yes"), ("absent", "no")],
                        max_length=6,
                        verbose_name="found",
                    ),
                ),
            ],
            options={
                "verbose_name": "screening sign",
                "verbose_name_plural": "screening signs",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("screening", "sign", "side"), name="screening_one_outcome_a_sign"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("outcome__in", ["found", "absent"])),
                        name="screening_sign_outcome_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("side__in", ["", "right", "left"])),
                        name="screening_sign_side_known",
                    ),
                    clinic.journal.Journaled(name="screening_sign_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="WristAngle",
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
                        related_name="wrist_angles",
                        to="cases.case",
                    ),
                ),
                ("on", models.DateField(verbose_name="seen on")),
                (
                    "seen_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="seen by",
                    ),
                ),
                (
                    "arm",
                    models.CharField(
                        choices=[("right", "right"), ("left", "left")],
                        max_length=5,
                        verbose_name="arm",
                    ),
                ),
                (
                    "seen_from",
                    models.CharField(
                        choices=[
                            ("thumb", "the thumb side"),
                            ("little-finger", "the little-finger side"),
                        ],
                        max_length=13,
                        verbose_name="camera on",
                    ),
                ),
                ("mirrored", models.BooleanField(default=False, verbose_name="mirrored picture")),
                ("points", models.JSONField(verbose_name="points")),
                ("contact_deg", models.FloatField(verbose_name="angle at contact")),
                ("after_deg", models.FloatField(verbose_name="angle shortly after")),
                ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
            ],
            options={
                "verbose_name": "wrist angle",
                "verbose_name_plural": "wrist angles",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("contact_deg__range", (-180, 180))),
                        name="wrist_contact_deg_within_a_turn",
                        violation_error_message="An angle is between −180 and 180 degrees.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("after_deg__range", (-180, 180))),
                        name="wrist_after_deg_within_a_turn",
                        violation_error_message="An angle is between −180 and 180 degrees.",
                    ),
                    clinic.journal.Journaled(name="wrist_angle_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="CalendarKey",
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
                    "practitioner",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="calendar_keys",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="whose",
                    ),
                ),
                (
                    "digest",
                    models.CharField(
                        editable=False, max_length=64, unique=True, verbose_name="SHA-256"
                    ),
                ),
                (
                    "created_at",
                    models.DateTimeField(default=django.utils.timezone.now, verbose_name="made"),
                ),
                (
                    "revoked_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="taken back"),
                ),
                ("read_on", models.DateField(blank=True, null=True, verbose_name="last read")),
            ],
            options={
                "verbose_name": "calendar address",
                "verbose_name_plural": "calendar addresses",
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("revoked_at", None)),
                        fields=("practitioner",),
                        name="calendar_key_one_each",
                        violation_error_message="There is one calendar address a person.",
                    ),
                    clinic.journal.Journaled(
                        name="calendar_key_journaled", without=("digest", "read_on")
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Activity",
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
                        related_name="activities",
                        to="cases.case",
                    ),
                ),
                ("position", models.SmallIntegerField(verbose_name="place in the list")),
                ("name", models.CharField(max_length=120, verbose_name="activity")),
            ],
            options={
                "verbose_name": "activity",
                "verbose_name_plural": "activities",
                "ordering": ["position"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("case", "position"), name="activity_one_a_place"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("position__range", (1, 5))),
                        name="activity_at_most_five",
                        violation_error_message="A patient names three to five activities.",
                    ),
                    clinic.journal.Journaled(name="activity_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Contact",
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
                        related_name="contacts",
                        to="cases.case",
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now, verbose_name="at")),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="called by",
                    ),
                ),
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("reached", "reached"),
                            ("message", "message left"),
                            ("no answer", "no answer"),
                            ("calls back", "will call back"),
                            ("declined", "wants no more visits"),
                        ],
                        max_length=10,
                        verbose_name="what came of it",
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200, verbose_name="remark")),
                ("again_on", models.DateField(blank=True, null=True, verbose_name="call again on")),
            ],
            options={
                "verbose_name": "contact",
                "verbose_name_plural": "contacts",
                "indexes": [models.Index(fields=["case", "-id"], name="contact_by_case")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("note", ""), ("outcome", "declined"), _negated=True),
                        name="contact_declined_has_reason",
                        violation_error_message="Write why the patient wants no more visits.",
                    ),
                    clinic.constraints.Sealed(
                        by="", erased_with="case.patient", may_change=(), name="contact_stays"
                    ),
                    clinic.journal.Journaled(name="contact_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Finding",
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
                    "battery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="findings",
                        to="cases.battery",
                    ),
                ),
                ("test", models.SlugField(max_length=40, verbose_name="test")),
                (
                    "side",
                    models.CharField(
                        choices=[("right", "right"), ("left", "left")],
                        max_length=5,
                        verbose_name="side",
                    ),
                ),
                ("finger", models.SmallIntegerField(blank=True, null=True, verbose_name="finger")),
                (
                    "answer",
                    models.CharField(
                        choices=[
                            ("none", "no pain"),
                            ("familiar", "familiar pain"),
                            ("other", "other pain"),
                            ("not done", "not done"),
                        ],
                        max_length=10,
                        verbose_name="answer",
                    ),
                ),
                ("pain", models.SmallIntegerField(blank=True, null=True, verbose_name="pain")),
                ("where", models.CharField(blank=True, max_length=40, verbose_name="where")),
                (
                    "why_not_done",
                    models.CharField(blank=True, max_length=120, verbose_name="why not done"),
                ),
                (
                    "strength",
                    models.CharField(
                        blank=True,
                        choices=[("normal", "normal"), ("weak", "weak"), ("absent", "absent")],
                        max_length=6,
                        verbose_name="strength",
                    ),
                ),
                ("tingling", models.BooleanField(default=False, verbose_name="new tingling")),
                ("variant", models.SlugField(blank=True, max_length=40, verbose_name="done as")),
            ],
            options={
                "verbose_name": "finding",
                "verbose_name_plural": "findings",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("finger__isnull", True)),
                        fields=("battery", "test", "side"),
                        name="finding_once_a_side",
                    ),
                    models.UniqueConstraint(
                        fields=("battery", "test", "side", "finger"), name="finding_once_a_finger"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("finger__isnull", True), ("finger__range", (2, 5)), _connector="OR"
                        ),
                        name="finding_fingers_2_to_5",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pain__isnull", True), ("pain__range", (0, 10)), _connector="OR"
                        ),
                        name="finding_pain_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("answer", "familiar"), _negated=True),
                            ("pain__isnull", False),
                            _connector="OR",
                        ),
                        name="finding_familiar_has_pain",
                        violation_error_message="Say how strong the familiar pain was, 0–10.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("answer", "other"), _negated=True),
                            models.Q(("where", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="finding_other_has_place",
                        violation_error_message="Say where the other pain was.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("answer", "not done"), _negated=True),
                            models.Q(("why_not_done", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="finding_not_done_has_reason",
                        violation_error_message="Say why the test was not done.",
                    ),
                    clinic.constraints.Sealed(
                        by="battery.visit.signed_at",
                        erased_with="battery.visit.case.patient",
                        may_change=(),
                        name="finding_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="finding_journaled", without=()),
                ],
            },
        ),
    ]
