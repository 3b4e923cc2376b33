"""The tables as the first release has them, with the rules that the database keeps."""

import clinic.chain
import clinic.constraints
import clinic.journal
import clinic.models.clinic
import clinic.models.staff
import clinic.revision
import django.contrib.auth.validators
import django.core.validators
import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    # A database that was made step by step has all of these and takes this one as applied.
    replaces = [
        ("clinic", "0001_initial"),
        ("clinic", "0002_grip_rest"),
        ("clinic", "0003_paper"),
        ("clinic", "0004_logo"),
        ("clinic", "0005_closed_day"),
        ("clinic", "0006_usual_lengths"),
        ("clinic", "0007_reminder_days"),
        ("clinic", "0008_book_revision"),
        ("clinic", "0009_sessions"),
        ("clinic", "0010_invitations"),
        ("clinic", "0011_second_factor"),
        ("clinic", "0012_reset_request"),
        ("clinic", "0013_sign_in_history"),
        ("clinic", "0014_held_form_title"),
        ("clinic", "0015_erasure"),
        ("clinic", "0016_change_and_link"),
        ("clinic", "0017_link_older_events"),
        ("clinic", "0018_chain_events"),
        ("clinic", "0019_journaled"),
        ("clinic", "0020_change_emptied"),
        ("clinic", "0021_change_by_request"),
        ("clinic", "0022_backup_run"),
        ("clinic", "0023_reads"),
    ]

    initial = True

    dependencies = [
        ("auth", "0012_alter_user_first_name_max_length"),
    ]

    operations = [
        migrations.CreateModel(
            name="Clinic",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                ("address", models.TextField(verbose_name="address")),
                ("phone", models.CharField(max_length=40, verbose_name="phone")),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                (
                    "emergency_phone",
                    models.CharField(
                        help_text="Printed on the home program: whom a patient calls in an emergency.",
                        max_length=20,
                        verbose_name="emergency number",
                    ),
                ),
                (
                    "time_zone",
                    models.CharField(
                        default="UTC",
                        max_length=60,
                        validators=[clinic.models.clinic.check_time_zone],
                        verbose_name="time zone",
                    ),
                ),
                (
                    "grip_unit",
                    models.CharField(
                        choices=[
                            ("N", "N (newton)"),
                            ("kgf", "kg (kilogram-force)"),
                            ("lbf", "lb (pound-force)"),
                        ],
                        default="kgf",
                        max_length=3,
                        verbose_name="unit on the dynamometer",
                    ),
                ),
                (
                    "grip_rest_s",
                    models.PositiveSmallIntegerField(
                        choices=[(30, "30 seconds"), (60, "60 seconds")],
                        default=30,
                        verbose_name="rest between grip trials",
                    ),
                ),
                (
                    "reminder_days",
                    models.PositiveSmallIntegerField(
                        choices=[
                            (0, "none"),
                            (1, "1 day before"),
                            (2, "2 days before"),
                            (3, "3 days before"),
                            (7, "7 days before"),
                        ],
                        default=2,
                        verbose_name="reminder by e-mail",
                    ),
                ),
                (
                    "paper",
                    models.CharField(
                        choices=[
                            ("A4", "A4 (210 × 297 mm)"),
                            ("letter", "US letter (8.5 × 11 in)"),
                        ],
                        default="A4",
                        max_length=6,
                        verbose_name="paper in the printer",
                    ),
                ),
                (
                    "first_minutes",
                    models.PositiveSmallIntegerField(
                        default=45,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(240),
                        ],
                        verbose_name="first visit",
                    ),
                ),
                (
                    "follow_up_minutes",
                    models.PositiveSmallIntegerField(
                        default=30,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(240),
                        ],
                        verbose_name="follow-up",
                    ),
                ),
                (
                    "review_minutes",
                    models.PositiveSmallIntegerField(
                        default=30,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(240),
                        ],
                        verbose_name="review",
                    ),
                ),
                (
                    "discharge_minutes",
                    models.PositiveSmallIntegerField(
                        default=30,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(240),
                        ],
                        verbose_name="discharge",
                    ),
                ),
                (
                    "idle_minutes",
                    models.PositiveSmallIntegerField(
                        default=30,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(30),
                        ],
                        verbose_name="minutes without anybody there",
                    ),
                ),
                (
                    "session_hours",
                    models.PositiveSmallIntegerField(
                        default=12,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(12),
                        ],
                        verbose_name="hours in all",
                    ),
                ),
                (
                    "managers_need_code",
                    models.BooleanField(
                        default=False,
                        help_text="A manager without an authenticator app is led to setting it up first.",
                        verbose_name="managers sign in with a code too",
                    ),
                ),
                (
                    "adult_years",
                    models.PositiveSmallIntegerField(
                        default=8,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(60),
                        ],
                        verbose_name="years after the last contact",
                    ),
                ),
                (
                    "child_until_age",
                    models.PositiveSmallIntegerField(
                        default=25,
                        validators=[
                            django.core.validators.MinValueValidator(18),
                            django.core.validators.MaxValueValidator(80),
                        ],
                        verbose_name="until the birthday, under 17 at the last contact",
                    ),
                ),
                (
                    "child_until_age_if_17",
                    models.PositiveSmallIntegerField(
                        default=26,
                        validators=[
                            django.core.validators.MinValueValidator(18),
                            django.core.validators.MaxValueValidator(80),
                        ],
                        verbose_name="until the birthday, 17 at the last contact",
                    ),
                ),
                (
                    "correction_days",
                    models.PositiveSmallIntegerField(
                        choices=[(30, "30 days"), (60, "60 days")],
                        default=30,
                        verbose_name="days to answer a request for correction",
                    ),
                ),
            ],
            options={
                "verbose_name": "clinic",
                "verbose_name_plural": "clinics",
                "constraints": [
                    clinic.journal.Journaled(name="clinic_journaled", without=()),
                    models.CheckConstraint(
                        condition=models.Q(("first_minutes__range", (5, 240))),
                        name="clinic_first_minutes_in_range",
                        violation_error_message="An appointment takes 5 to 240 minutes.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("follow_up_minutes__range", (5, 240))),
                        name="clinic_follow_up_minutes_in_range",
                        violation_error_message="An appointment takes 5 to 240 minutes.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("review_minutes__range", (5, 240))),
                        name="clinic_review_minutes_in_range",
                        violation_error_message="An appointment takes 5 to 240 minutes.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("discharge_minutes__range", (5, 240))),
                        name="clinic_discharge_minutes_in_range",
                        violation_error_message="An appointment takes 5 to 240 minutes.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("adult_years__range", (5, 60))),
                        name="clinic_adult_years_in_range",
                        violation_error_message="Check the years that records are kept.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("child_until_age__range", (18, 80))),
                        name="clinic_child_until_age_in_range",
                        violation_error_message="Check the years that records are kept.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("child_until_age_if_17__range", (18, 80))),
                        name="clinic_child_until_age_if_17_in_range",
                        violation_error_message="Check the years that records are kept.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("idle_minutes__range", (5, 30))),
                        name="clinic_idle_minutes_in_range",
                        violation_error_message="A session without anybody there lasts 5 to 30 minutes.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("session_hours__range", (1, 12))),
                        name="clinic_session_hours_in_range",
                        violation_error_message="A session lasts 1 to 12 hours.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Staff",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("password", models.CharField(max_length=128, verbose_name="password")),
                (
                    "last_login",
                    models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                ),
                (
                    "is_superuser",
                    models.BooleanField(
                        default=False,
                        help_text="Designates that this user has all permissions without explicitly assigning them.",
                        verbose_name="superuser status",
                    ),
                ),
                (
                    "username",
                    models.CharField(
                        error_messages={"unique": "A user with that username already exists."},
                        help_text="Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.",
                        max_length=150,
                        unique=True,
                        validators=[django.contrib.auth.validators.UnicodeUsernameValidator()],
                        verbose_name="username",
                    ),
                ),
                (
                    "first_name",
                    models.CharField(blank=True, max_length=150, verbose_name="first name"),
                ),
                (
                    "last_name",
                    models.CharField(blank=True, max_length=150, verbose_name="last name"),
                ),
                (
                    "email",
                    models.EmailField(blank=True, max_length=254, verbose_name="email address"),
                ),
                (
                    "is_staff",
                    models.BooleanField(
                        default=False,
                        help_text="Designates whether the user can log into this admin site.",
                        verbose_name="staff status",
                    ),
                ),
                (
                    "is_active",
                    models.BooleanField(
                        default=True,
                        help_text="Designates whether this user should be treated as active. Unselect this instead of deleting accounts.",
                        verbose_name="active",
                    ),
                ),
                (
                    "date_joined",
                    models.DateTimeField(
                        default=django.utils.timezone.now, verbose_name="date joined"
                    ),
                ),
                (
                    "clinic",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="staff",
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("physiotherapist", "physiotherapist"),
                            ("front desk", "front desk"),
                            ("manager", "manager"),
                        ],
                        max_length=20,
                        verbose_name="role",
                    ),
                ),
                (
                    "treats",
                    models.BooleanField(
                        default=False,
                        help_text="A manager who also treats may write clinical records and be booked.",
                        verbose_name="sees patients",
                    ),
                ),
                (
                    "registration_number",
                    models.CharField(
                        blank=True,
                        help_text="Printed beside the signature of a visit.",
                        max_length=40,
                        verbose_name="registration number",
                    ),
                ),
                (
                    "groups",
                    models.ManyToManyField(
                        blank=True,
                        help_text="The groups this user belongs to. A user will get all permissions granted to each of their groups.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.group",
                        verbose_name="groups",
                    ),
                ),
                (
                    "user_permissions",
                    models.ManyToManyField(
                        blank=True,
                        help_text="Specific permissions for this user.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.permission",
                        verbose_name="user permissions",
                    ),
                ),
            ],
            options={
                "verbose_name": "member of staff",
                "verbose_name_plural": "staff",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("role__in", ["physiotherapist", "front desk", "manager"])
                        ),
                        name="staff_role_known",
                        violation_error_message="Choose one of the roles.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("role", "front desk"), ("treats", True), _negated=True),
                        name="staff_front_desk_never_treats",
                        violation_error_message="Front desk can't be booked as a practitioner.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("role", "physiotherapist"), ("treats", False), _negated=True
                        ),
                        name="staff_physiotherapist_treats",
                        violation_error_message="A physiotherapist sees patients.",
                    ),
                    clinic.journal.Journaled(
                        name="staff_journaled", without=("password", "last_login")
                    ),
                ],
            },
            managers=[
                ("objects", clinic.models.staff.StaffManager()),
            ],
        ),
        migrations.CreateModel(
            name="BackupRun",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("began_at", models.DateTimeField(verbose_name="began")),
                ("ended_at", models.DateTimeField(verbose_name="ended")),
                ("name", models.CharField(blank=True, max_length=80, verbose_name="file")),
                ("size", models.PositiveBigIntegerField(default=0, verbose_name="bytes")),
                (
                    "tried",
                    models.BooleanField(
                        default=False, verbose_name="restored once and equal in every value"
                    ),
                ),
                ("problem", models.TextField(blank=True, verbose_name="why there is none")),
            ],
            options={
                "verbose_name": "backup",
                "verbose_name_plural": "backups",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("name", ""), ("problem__gt", ""), ("tried", False)),
                            models.Q(("name__gt", ""), ("problem", "")),
                            _connector="OR",
                        ),
                        name="backup_has_a_file_or_a_problem",
                    ),
                    clinic.constraints.Sealed(
                        by="", erased_with="", may_change=(), name="backup_run_stays"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="BookRevision",
            fields=[
                (
                    "clinic",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="+",
                        serialize=False,
                        to="clinic.clinic",
                    ),
                ),
                ("number", models.PositiveBigIntegerField(default=0)),
            ],
            options={
                "verbose_name": "revision of the book",
                "verbose_name_plural": "revisions of the book",
            },
        ),
        migrations.CreateModel(
            name="Logo",
            fields=[
                (
                    "clinic",
                    models.OneToOneField(
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        primary_key=True,
                        related_name="logo",
                        serialize=False,
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
                ("picture", models.BinaryField(verbose_name="picture")),
            ],
            options={
                "verbose_name": "logo",
                "verbose_name_plural": "logos",
            },
        ),
        migrations.CreateModel(
            name="AuditEvent",
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
                ("at", models.DateTimeField(auto_now_add=True, verbose_name="at")),
                (
                    "actor",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="who",
                    ),
                ),
                ("verb", models.CharField(max_length=40, verbose_name="did")),
                ("object_type", models.CharField(max_length=40, verbose_name="to what")),
                ("object_id", models.BigIntegerField(null=True, verbose_name="number")),
                ("detail", models.JSONField(default=dict, verbose_name="detail")),
                ("request", models.CharField(blank=True, max_length=16, verbose_name="request")),
                ("page", models.CharField(max_length=60, null=True, verbose_name="page")),
                (
                    "patient_key",
                    models.BigIntegerField(null=True, verbose_name="number of the patient's row"),
                ),
            ],
            options={
                "verbose_name": "audit event",
                "verbose_name_plural": "audit events",
                "indexes": [
                    models.Index(fields=["clinic", "-at", "-id"], name="audit_by_time"),
                    models.Index(fields=["actor", "-at", "-id"], name="audit_by_actor"),
                    models.Index(fields=["clinic", "verb", "-at", "-id"], name="audit_by_verb"),
                    models.Index(
                        condition=models.Q(("page__isnull", False)),
                        fields=["clinic", "page", "-at", "-id"],
                        name="audit_by_page",
                    ),
                    models.Index(
                        condition=models.Q(("patient_key__isnull", False)),
                        fields=["patient_key", "-at", "-id"],
                        name="audit_by_patient",
                    ),
                    models.Index(fields=["object_type", "object_id"], name="audit_by_object"),
                ],
                "constraints": [
                    clinic.constraints.Sealed(
                        by="", erased_with="", may_change=(), name="audit_only_grows"
                    ),
                    clinic.chain.Chained(link="event_id", name="audit_chained"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Absence",
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
                    "staff",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="absences",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="practitioner",
                    ),
                ),
                ("starts_at", models.DateTimeField(verbose_name="from")),
                ("ends_at", models.DateTimeField(verbose_name="until")),
                ("reason", models.CharField(blank=True, max_length=120, verbose_name="reason")),
            ],
            options={
                "verbose_name": "absence",
                "verbose_name_plural": "absences",
                "indexes": [models.Index(fields=["staff", "ends_at"], name="absence_by_person")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("ends_at__gt", models.F("starts_at"))),
                        name="absence_ends_after_start",
                        violation_error_message="An absence can't end before it starts.",
                    ),
                    clinic.revision.RaisesRevision(name="absence_raises_revision"),
                    clinic.journal.Journaled(name="absence_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Change",
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
                        db_index=False,
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
                ("at", models.DateTimeField(verbose_name="at")),
                (
                    "actor",
                    models.ForeignKey(
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="who",
                    ),
                ),
                ("request", models.CharField(blank=True, max_length=16, verbose_name="request")),
                ("table_name", models.CharField(max_length=63, verbose_name="table")),
                ("row_id", models.BigIntegerField(verbose_name="number")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("added", "added"),
                            ("changed", "changed"),
                            ("removed", "removed"),
                        ],
                        max_length=7,
                        verbose_name="what",
                    ),
                ),
                ("before", models.JSONField(null=True, verbose_name="before")),
                ("after", models.JSONField(null=True, verbose_name="after")),
            ],
            options={
                "verbose_name": "change",
                "verbose_name_plural": "changes",
                "indexes": [
                    models.Index(fields=["table_name", "row_id"], name="change_by_row"),
                    models.Index(
                        condition=models.Q(("request", ""), _negated=True),
                        fields=["clinic", "request"],
                        name="change_by_request",
                    ),
                ],
                "constraints": [
                    clinic.constraints.Sealed(
                        by="", erased_with="", may_change=("before", "after"), name="change_stays"
                    ),
                    clinic.journal.OnlyEmptied(
                        columns=("before", "after"), name="change_only_emptied"
                    ),
                    clinic.chain.Chained(link="change_id", name="change_chained"),
                ],
            },
        ),
        migrations.CreateModel(
            name="ClosedDay",
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
                ("name", models.CharField(max_length=80, verbose_name="why closed")),
            ],
            options={
                "verbose_name": "closed day",
                "verbose_name_plural": "closed days",
                "ordering": ["day"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("clinic", "day"),
                        name="closed_day_once",
                        violation_error_message="This day is on the list already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("name", ""), _negated=True),
                        name="closed_day_has_a_name",
                        violation_error_message="Say why the clinic is closed.",
                    ),
                    clinic.revision.RaisesRevision(name="closed_day_raises_revision"),
                    clinic.journal.Journaled(name="closed_day_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="Erasure",
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
                    "patient_key",
                    models.BigIntegerField(verbose_name="number of the row that was the patient"),
                ),
                ("record_number", models.PositiveIntegerField(verbose_name="record number")),
                ("last_contact", models.DateField(verbose_name="last contact")),
                ("kept_until", models.DateField(verbose_name="kept until")),
                ("rule", models.CharField(max_length=200, verbose_name="rule")),
                (
                    "erased_at",
                    models.DateTimeField(default=django.utils.timezone.now, verbose_name="erased"),
                ),
                (
                    "erased_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="by",
                    ),
                ),
                ("counts", models.JSONField(default=dict, verbose_name="rows, by table")),
                (
                    "nowhere",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="clinic.erasure",
                    ),
                ),
            ],
            options={
                "verbose_name": "erased record",
                "verbose_name_plural": "erased records",
                "indexes": [
                    models.Index(fields=["clinic", "-id"], name="erasure_by_clinic"),
                    models.Index(fields=["patient_key"], name="erasure_of_patient"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("nowhere__lt", 0)), name="erasure_nowhere_is_no_row"
                    ),
                    clinic.constraints.Sealed(
                        by="",
                        erased_with="",
                        may_change=("counts", "nowhere"),
                        name="erasure_stays",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="HeldForm",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "staff",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="who",
                    ),
                ),
                ("path", models.CharField(max_length=300, verbose_name="form")),
                ("title", models.CharField(blank=True, max_length=120, verbose_name="page")),
                ("text", models.TextField(verbose_name="what was typed")),
                ("at", models.DateTimeField(verbose_name="at")),
            ],
            options={
                "verbose_name": "held form",
                "verbose_name_plural": "held forms",
                "constraints": [
                    models.UniqueConstraint(fields=("staff", "path"), name="held_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="Invitation",
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
                    "first_name",
                    models.CharField(blank=True, max_length=150, verbose_name="given name"),
                ),
                ("last_name", models.CharField(max_length=150, verbose_name="family name")),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("physiotherapist", "physiotherapist"),
                            ("front desk", "front desk"),
                            ("manager", "manager"),
                        ],
                        max_length=20,
                        verbose_name="role",
                    ),
                ),
                ("treats", models.BooleanField(default=False, verbose_name="sees patients")),
                (
                    "registration_number",
                    models.CharField(blank=True, max_length=40, verbose_name="registration number"),
                ),
                (
                    "digest",
                    models.CharField(
                        editable=False, max_length=64, unique=True, verbose_name="SHA-256"
                    ),
                ),
                (
                    "invited_by",
                    models.ForeignKey(
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="by",
                    ),
                ),
                ("expires_at", models.DateTimeField(editable=False, verbose_name="open until")),
                (
                    "accepted_at",
                    models.DateTimeField(editable=False, null=True, verbose_name="taken"),
                ),
                (
                    "revoked_at",
                    models.DateTimeField(editable=False, null=True, verbose_name="taken back"),
                ),
            ],
            options={
                "verbose_name": "invitation",
                "verbose_name_plural": "invitations",
                "indexes": [models.Index(fields=["clinic", "-id"], name="invitation_by_clinic")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("role__in", ["physiotherapist", "front desk", "manager"])
                        ),
                        name="invitation_role_known",
                        violation_error_message="Choose one of the roles.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("role", "front desk"), ("treats", True), _negated=True),
                        name="invitation_front_desk_never_treats",
                        violation_error_message="Front desk can't be booked as a practitioner.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("role", "physiotherapist"), ("treats", False), _negated=True
                        ),
                        name="invitation_physiotherapist_treats",
                        violation_error_message="A physiotherapist sees patients.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("accepted_at", None), ("revoked_at", None), _connector="OR"
                        ),
                        name="invitation_taken_or_taken_back",
                        violation_error_message="This invitation has been answered.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Link",
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
                        db_constraint=False,
                        db_index=False,
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
                ("number", models.BigIntegerField(null=True, verbose_name="number")),
                (
                    "event",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="clinic.auditevent",
                    ),
                ),
                (
                    "change",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="clinic.change",
                    ),
                ),
                ("content", models.CharField(max_length=64)),
                ("digest", models.CharField(blank=True, max_length=64)),
            ],
            options={
                "verbose_name": "link",
                "verbose_name_plural": "links",
                "constraints": [
                    models.UniqueConstraint(fields=("clinic", "number"), name="link_number_once"),
                    clinic.constraints.Sealed(
                        by="number", erased_with="", may_change=(), name="link_stays"
                    ),
                    clinic.chain.Numbered(name="link_numbered"),
                ],
            },
        ),
        migrations.CreateModel(
            name="OpeningHours",
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
                    "weekday",
                    models.SmallIntegerField(
                        choices=[
                            (0, "Monday"),
                            (1, "Tuesday"),
                            (2, "Wednesday"),
                            (3, "Thursday"),
                            (4, "Friday"),
                            (5, "Saturday"),
                            (6, "Sunday"),
                        ],
                        verbose_name="weekday",
                    ),
                ),
                ("opens", models.TimeField(verbose_name="opens")),
                ("closes", models.TimeField(verbose_name="closes")),
            ],
            options={
                "verbose_name": "opening hours",
                "verbose_name_plural": "opening hours",
                "ordering": ["weekday", "opens"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("closes__gt", models.F("opens"))),
                        name="hours_close_after_opening",
                        violation_error_message="The clinic can't close before it opens.",
                    ),
                    models.UniqueConstraint(
                        fields=("clinic", "weekday", "opens"), name="hours_one_opening_at_a_time"
                    ),
                    clinic.revision.RaisesRevision(name="hours_raise_revision"),
                    clinic.journal.Journaled(name="opening_hours_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="OpenSession",
            fields=[
                (
                    "session_key",
                    models.CharField(
                        max_length=40, primary_key=True, serialize=False, verbose_name="session key"
                    ),
                ),
                ("session_data", models.TextField(verbose_name="session data")),
                ("expire_date", models.DateTimeField(db_index=True, verbose_name="expire date")),
                (
                    "staff",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="sessions",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="who",
                    ),
                ),
                (
                    "began_at",
                    models.DateTimeField(default=django.utils.timezone.now, verbose_name="since"),
                ),
                (
                    "seen_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now, verbose_name="last used"
                    ),
                ),
                ("address", models.CharField(blank=True, max_length=45, verbose_name="from")),
                ("browser", models.CharField(blank=True, max_length=40, verbose_name="browser")),
            ],
            options={
                "verbose_name": "session",
                "verbose_name_plural": "sessions",
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="ResetRequest",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "staff",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="who",
                    ),
                ),
                ("asked_at", models.DateTimeField(verbose_name="asked")),
                ("origin", models.CharField(max_length=255, verbose_name="address of the site")),
                ("sent_at", models.DateTimeField(null=True, verbose_name="sent")),
            ],
            options={
                "verbose_name": "request for a new password",
                "verbose_name_plural": "requests for a new password",
            },
        ),
        migrations.CreateModel(
            name="SecondFactor",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "staff",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="second_factor",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="who",
                    ),
                ),
                ("secret", models.TextField(verbose_name="secret, encrypted")),
                ("begun_at", models.DateTimeField(verbose_name="begun")),
                ("confirmed_at", models.DateTimeField(null=True, verbose_name="since")),
                (
                    "last_step",
                    models.BigIntegerField(default=0, verbose_name="time step of the last code"),
                ),
                (
                    "wrong",
                    models.PositiveIntegerField(default=0, verbose_name="wrong codes in a row"),
                ),
                (
                    "wait_until",
                    models.DateTimeField(null=True, verbose_name="no code is taken before"),
                ),
            ],
            options={
                "verbose_name": "second factor",
                "verbose_name_plural": "second factors",
            },
        ),
        migrations.CreateModel(
            name="RecoveryCode",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "factor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="recovery_codes",
                        to="clinic.secondfactor",
                        verbose_name="of",
                    ),
                ),
                ("digest", models.CharField(max_length=200, verbose_name="digest")),
                ("used_at", models.DateTimeField(null=True, verbose_name="used at")),
            ],
            options={
                "verbose_name": "recovery code",
                "verbose_name_plural": "recovery codes",
            },
        ),
        migrations.CreateModel(
            name="SignIn",
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
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="clinic.clinic",
                        verbose_name="clinic",
                    ),
                ),
                (
                    "staff",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="sign_ins",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="who",
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now, verbose_name="at")),
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("in", "signed in"),
                            ("password", "wrong password"),
                            ("code", "wrong code"),
                        ],
                        max_length=10,
                        verbose_name="outcome",
                    ),
                ),
                ("address", models.GenericIPAddressField(null=True, verbose_name="from")),
                ("browser", models.CharField(blank=True, max_length=40, verbose_name="browser")),
            ],
            options={
                "verbose_name": "sign-in",
                "verbose_name_plural": "sign-ins",
                "indexes": [
                    models.Index(fields=["clinic", "-id"], name="sign_in_by_clinic"),
                    models.Index(fields=["staff", "-id"], name="sign_in_by_staff"),
                    models.Index(fields=["at"], name="sign_in_by_time"),
                ],
            },
        ),
    ]
