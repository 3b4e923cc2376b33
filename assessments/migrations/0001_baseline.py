"""The tables as the first release has them, with the rules that the database keeps."""

import clinic.constraints
import clinic.journal
import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    # A database that was made step by step has all of these and takes this one as applied.
    replaces = [
        ("assessments", "0001_initial"),
        ("assessments", "0002_own_ratings_and_struck_trials"),
        ("assessments", "0003_erasable"),
        ("assessments", "0004_journaled"),
    ]

    initial = True

    dependencies = [
        ("cases", "0001_baseline"),
        ("clinic", "0001_baseline"),
    ]

    operations = [
        migrations.CreateModel(
            name="GripTest",
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
                        related_name="grip_tests",
                        to="cases.visit",
                    ),
                ),
                (
                    "side",
                    models.CharField(
                        choices=[("right", "right"), ("left", "left")],
                        max_length=5,
                        verbose_name="side",
                    ),
                ),
                (
                    "position",
                    models.CharField(
                        choices=[("straight", "elbow straight"), ("bent", "elbow at 90 degrees")],
                        max_length=10,
                        verbose_name="position",
                    ),
                ),
                (
                    "effort",
                    models.CharField(
                        choices=[("pain_free", "pain-free"), ("maximal", "maximal")],
                        max_length=10,
                        verbose_name="effort",
                    ),
                ),
                (
                    "unit",
                    models.CharField(
                        choices=[("N", "N"), ("kgf", "kgf"), ("lbf", "lbf")],
                        max_length=3,
                        verbose_name="unit as read",
                    ),
                ),
            ],
            options={
                "verbose_name": "grip test",
                "verbose_name_plural": "grip tests",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("visit", "side", "position", "effort"),
                        name="grip_once_a_side_and_way",
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="grip_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="grip_test_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="GripTrial",
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
                    "grip_test",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="trials",
                        to="assessments.griptest",
                    ),
                ),
                ("number", models.SmallIntegerField(verbose_name="trial")),
                ("force_n", models.FloatField(verbose_name="force in newtons")),
                (
                    "struck",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("too_fast", "squeezed too fast"),
                            ("past_pain", "went on past the first pain"),
                            ("slipped", "slipped or was read wrongly"),
                        ],
                        help_text="A trial that is struck out stays on record and counts for nothing.",
                        max_length=10,
                        verbose_name="struck out because",
                    ),
                ),
            ],
            options={
                "verbose_name": "grip trial",
                "verbose_name_plural": "grip trials",
                "ordering": ["number"],
                "constraints": [
                    models.UniqueConstraint(fields=("grip_test", "number"), name="grip_trial_once"),
                    models.CheckConstraint(
                        condition=models.Q(("number__range", (1, 6))),
                        name="grip_trial_1_to_6",
                        violation_error_message="A grip test has up to six trials.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("force_n__gte", 0), ("force_n__lte", 1000)),
                        name="grip_force_0_to_1000_n",
                        violation_error_message="No hand squeezes less than 0 or more than 1000 N.",
                    ),
                    clinic.constraints.Sealed(
                        by="grip_test.visit.signed_at",
                        erased_with="grip_test.visit.case.patient",
                        may_change=(),
                        name="grip_trial_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="grip_trial_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="MeasuredValue",
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
                        related_name="measured_values",
                        to="cases.visit",
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="measured_values",
                        to="cases.case",
                    ),
                ),
                ("measure", models.CharField(max_length=30, verbose_name="measure")),
                ("value", models.FloatField(verbose_name="value")),
            ],
            options={
                "verbose_name": "measured value",
                "verbose_name_plural": "measured values",
                "indexes": [
                    models.Index(fields=["case", "measure"], name="measured_by_case"),
                    models.Index(fields=["clinic", "measure", "case"], name="measured_in_clinic"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("visit", "measure"), name="measured_once_a_visit"
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="measured_value_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="measured_value_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="PainRating",
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
                        related_name="pain_ratings",
                        to="cases.visit",
                    ),
                ),
                (
                    "context",
                    models.CharField(
                        choices=[
                            ("at_rest", "at rest"),
                            ("worst_24h", "worst in 24 h"),
                            ("on_gripping", "on gripping"),
                            ("during_exercise", "during exercise"),
                            ("next_morning", "next morning"),
                        ],
                        max_length=20,
                        verbose_name="when",
                    ),
                ),
                ("value", models.SmallIntegerField(verbose_name="pain")),
            ],
            options={
                "verbose_name": "pain rating",
                "verbose_name_plural": "pain ratings",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("visit", "context"), name="pain_once_a_context"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("value__range", (0, 10))),
                        name="pain_value_0_to_10",
                        violation_error_message="Pain is a whole number from 0 to 10.",
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="pain_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="pain_rating_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="QuestionnaireResponse",
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
                        related_name="questionnaires",
                        to="cases.visit",
                    ),
                ),
                (
                    "instrument",
                    models.CharField(
                        choices=[("prtee", "15-item tennis elbow evaluation")],
                        max_length=20,
                        verbose_name="instrument",
                    ),
                ),
                (
                    "items",
                    models.JSONField(
                        help_text="A list: one number, or nothing, for each item.",
                        verbose_name="items",
                    ),
                ),
            ],
            options={
                "verbose_name": "questionnaire",
                "verbose_name_plural": "questionnaires",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("visit", "instrument"), name="questionnaire_once_a_visit"
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="questionnaire_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="questionnaire_response_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="TimeOffWork",
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
                        related_name="time_off_work",
                        to="cases.visit",
                    ),
                ),
                ("value", models.SmallIntegerField(verbose_name="days off work")),
            ],
            options={
                "verbose_name": "time off work",
                "verbose_name_plural": "times off work",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("value__range", (0, 366))),
                        name="time_off_work_0_to_366_days",
                        violation_error_message="Days off work are a whole number from 0 to 366.",
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="time_off_work_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="time_off_work_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="ActivityRating",
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
                        related_name="activity_ratings",
                        to="cases.visit",
                    ),
                ),
                (
                    "activity",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="ratings",
                        to="cases.activity",
                    ),
                ),
                ("value", models.SmallIntegerField(verbose_name="rating")),
            ],
            options={
                "verbose_name": "activity rating",
                "verbose_name_plural": "activity ratings",
                "ordering": ["activity__position"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("visit", "activity"), name="activity_rated_once_a_visit"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("value__range", (0, 10))),
                        name="activity_rating_0_to_10",
                        violation_error_message="An activity is rated with a whole number from 0 to 10.",
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="activity_rating_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="activity_rating_journaled", without=()),
                ],
            },
        ),
        migrations.CreateModel(
            name="GlobalRating",
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
                        related_name="global_rating",
                        to="cases.visit",
                    ),
                ),
                ("value", models.SmallIntegerField(verbose_name="global rating of change")),
            ],
            options={
                "verbose_name": "global rating of change",
                "verbose_name_plural": "global ratings of change",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("value__range", (-5, 5))),
                        name="global_rating_minus_5_to_5",
                        violation_error_message="The global rating is a whole number from −5 to 5.",
                    ),
                    clinic.constraints.Sealed(
                        by="visit.signed_at",
                        erased_with="visit.case.patient",
                        may_change=(),
                        name="global_rating_of_signed_visit_stays",
                    ),
                    clinic.journal.Journaled(name="global_rating_journaled", without=()),
                ],
            },
        ),
    ]
