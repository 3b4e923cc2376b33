"""Counts over all cases of a clinic, made by the database: none is loaded for them.

Each signed value of a measure is read once and grouped by its case (`courses`); what lies nearest to a
horizon, how far it moved and why it is missing is worked out there, and only the counts come back.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

from django.db import connection
from django.db.models import Case as Choose
from django.db.models import Count, F, Min, OuterRef, Q, QuerySet, Subquery, When, Window
from django.db.models.functions import Abs, Coalesce, Lead
from django.utils import timezone

from assessments.clinical.change import DECIMALS, Better
from assessments.models import MeasuredValue
from cases.clinical.intake import Duration
from cases.models import Appointment, Case, Restriction
from clinic.evidence import Figure
from clinic.models import Clinic, Staff
from clinic.sql import DaysBetween, count_by
from clinic.wording import Sentence
from rehab.clinical.caseload import (
    HORIZONS,
    LEADING,
    MIN_FOR_SHARE,
    START_WINDOW,
    WEEK,
    AtHorizon,
    Attendance,
    Counted,
    Horizon,
    Mark,
    Missing,
    Reached,
    Share,
    StageTime,
)
from rehab.clinical.caseload_words import attendance_words, headline
from rehab.clinical.endings import Ending
from rehab.clinical.ladder import Stage
from rehab.endings import endings
from rehab.models import Program

# More than any value of the register: distance × SCALE + value sorts by distance and keeps the value.
SCALE = 10_000
# Sums of binary fractions may miss a threshold by less than this.
ROUNDING = 1e-6

# Days from onset to opening, as `duration_class` sorts them.
DURATION_DAYS = {
    Duration.UNDER_6_WEEKS: Q(lasted__lt=6 * WEEK),
    Duration.FROM_6_TO_12_WEEKS: Q(lasted__range=(6 * WEEK, 12 * WEEK)),
    Duration.OVER_12_WEEKS: Q(lasted__gt=12 * WEEK),
}


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """Which cases of a clinic are counted; None leaves a choice open."""

    clinic: Clinic
    lead: Staff | None = None
    stage: Stage | None = None
    duration: Duration | None = None

    @property
    def cases(self) -> QuerySet[Case]:
        cases = Case.objects.of(self.clinic).exclude(pk__in=self._restricted())
        if self.lead:
            cases = cases.led_by(self.lead)
        if self.stage:
            cases = cases.filter(pk__in=Program.objects.of(self.clinic).cases_in(self.stage))
        if self.duration:
            lasted = DaysBetween(F("onset"), F("opened"))
            cases = cases.annotate(lasted=lasted).filter(DURATION_DAYS[self.duration])
        return cases

    def _restricted(self) -> QuerySet:
        """The cases of patients whose records are restricted: no figure counts them."""
        limits = Restriction.objects.of(self.clinic).in_force(on=timezone.localdate())
        return Case.objects.filter(patient__in=limits.values("patient")).values("pk")

    def rows_of(self, rows: QuerySet) -> QuerySet:
        """The rows that belong to the chosen cases."""
        rows = rows.of(self.clinic).exclude(case__in=self._restricted())
        if self.lead or self.stage or self.duration:
            rows = rows.filter(case__in=self.cases.values("pk"))
        return rows


def courses(chosen: Chosen, measure: Counted) -> QuerySet:
    """One row a case with a value at its start: opened, closed, lasted (days), start, at_6, at_12 …

    Values stand behind their distance from the horizon; `value_in` and `_VALUE_IN` take them out.
    """
    values = chosen.rows_of(MeasuredValue.objects.of_signed_visits())
    day = DaysBetween(F("case__opened"), F("visit__on"))
    grouped = values.filter(measure=measure.measure.key).annotate(day=day).values("case")
    return grouped.annotate(
        opened=Min("case__opened"),
        closed=Min("case__closed"),
        lasted=Min(DaysBetween(F("case__opened"), F("case__closed"))),
        start=_nearest(0, round(WEEK * START_WINDOW.value), to=0),
        **{_at(one): _nearest(one.first_day, one.last_day, to=one.day) for one in HORIZONS},
    ).filter(start__isnull=False)


def _at(horizon: Horizon) -> str:
    return f"at_{horizon.weeks}"


def _nearest(first_day: int, last_day: int, *, to: int) -> Min:
    """The value nearest to day `to`, behind its distance; of two equally near the earlier one."""
    distance = Abs(4 * F("day") - (4 * to - 1))
    inside = Q(day__range=(first_day, last_day))
    return Min(Choose(When(inside, then=SCALE * distance + F("value"))))


def value_in(code: float | None) -> float | None:
    """What `courses` found, without its distance."""
    return None if code is None else round(code % SCALE, DECIMALS)


_VALUE_IN = "{0} - {1} * CAST({0} / {1} AS integer) AS {0}"
_COUNTS = """
WITH found AS MATERIALIZED ({courses}),
     course AS MATERIALIZED (SELECT opened, closed, lasted, {values} FROM found)
SELECT COUNT(*), {counts} FROM course
"""


def at_horizons(chosen: Chosen, measure: Counted, *, today: datetime.date) -> tuple[AtHorizon, ...]:
    """Count, for each horizon, who was measured, who reached each threshold, and who is missing why."""
    wanted = {
        (horizon, name): f"COUNT(CASE WHEN {met} THEN 1 END)"
        for horizon in HORIZONS
        for name, met in _conditions(horizon, measure, today=today).items()
    }
    inner, params = courses(chosen, measure).query.sql_with_params()
    columns = ("start", *map(_at, HORIZONS))
    values = ", ".join(_VALUE_IN.format(name, SCALE) for name in columns)
    statement = _COUNTS.format(courses=inner, values=values, counts=", ".join(wanted.values()))
    with connection.cursor() as cursor:
        cursor.execute(statement, params)
        started, *found = cursor.fetchone()
    counts = dict(zip(wanted, found, strict=True))
    return tuple(_at_horizon(horizon, measure, started, counts) for horizon in HORIZONS)


def _conditions(horizon: Horizon, measure: Counted, *, today: datetime.date) -> dict[object, str]:
    """The database's counterpart of `Mark.reached` and `why_missing`; a test holds them together."""
    value, begins = _at(horizon), today - datetime.timedelta(days=horizon.last_day)
    there, missing = f"{value} IS NOT NULL", f"{value} IS NULL"
    return {
        "measured": there,
        "above 0": f"{there} AND start > 0",
        Missing.CLOSED: f"{missing} AND lasted < {horizon.first_day}",
        Missing.NOT_DUE: f"{missing} AND closed IS NULL AND opened >= '{begins.isoformat()}'",
        **{mark: _reached(mark, value, measure.measure.better) for mark in measure.marks},
    }


def _reached(mark: Mark, value: str, better: Better) -> str:
    improved = f"{value} - start" if better is Better.UP else f"start - {value}"
    needed = f"start * {mark.figure.value / 100}" if mark.in_percent else str(mark.figure.value)
    above_0 = "start > 0 AND " if mark.in_percent else ""
    far = f"> {needed} + {ROUNDING}" if mark.beyond else f">= {needed} - {ROUNDING}"
    return f"{above_0}{improved} {far}"


def _at_horizon(
    horizon: Horizon, measure: Counted, started: int, counts: Mapping[tuple, int]
) -> AtHorizon:
    measured, above_0 = counts[horizon, "measured"], counts[horizon, "above 0"]
    closed, not_due = counts[horizon, Missing.CLOSED], counts[horizon, Missing.NOT_DUE]
    lost = started - measured - closed - not_due
    return AtHorizon(
        horizon=horizon,
        started=started,
        measured=measured,
        reached=tuple(
            Reached(
                mark=mark,
                share=Share(
                    count=counts[horizon, mark], total=above_0 if mark.in_percent else measured
                ),
            )
            for mark in measure.marks
        ),
        missing={Missing.CLOSED: closed, Missing.NOT_DUE: not_due, Missing.LOST: lost},
    )


@dataclass(frozen=True, kw_only=True)
class Overview:
    """Everything that the caseload page counts."""

    counted: Counted
    endings: Mapping[Case.Status, Ending]
    horizons: tuple[AtHorizon, ...]
    stages: Mapping[Stage, StageTime]
    attendance: Attendance

    @property
    def cases(self) -> int:
        return sum(one.cases for one in self.endings.values())

    @property
    def started(self) -> int:
        return self.horizons[0].started

    @property
    def without_start(self) -> int:
        return self.cases - self.started

    @property
    def leading(self) -> AtHorizon:
        return next(at for at in self.horizons if at.horizon is LEADING)

    @property
    def windows(self) -> list[Figure]:
        return [at.horizon.window for at in self.horizons]

    @property
    def start_window(self) -> Figure:
        return START_WINDOW

    @property
    def few(self) -> Figure:
        return MIN_FOR_SHARE

    @property
    def sentences(self) -> tuple[Sentence, ...]:
        return headline(self.leading, self.counted)

    @property
    def missed_words(self) -> Sentence:
        return attendance_words(self.attendance)

    @property
    def by_mark(self) -> list[tuple[Mark, list[Share]]]:
        """Each threshold with its share at each horizon."""
        shares = zip(*(at.reached for at in self.horizons), strict=True)
        return [(row[0].mark, [one.share for one in row]) for row in shares]

    @property
    def thresholds(self) -> list[tuple[Figure, list[tuple[int, Mark]]]]:
        """The numbered thresholds, those with one source under a figure that says it for all."""
        numbered = enumerate((mark for mark, _shares in self.by_mark), start=1)
        groups = [list(marks) for _alike, marks in groupby(numbered, key=_basis)]
        return [(marks[0][1].figure, marks) for marks in groups]

    @property
    def by_reason(self) -> list[tuple[Missing, list[int]]]:
        """Each reason for a missing value with how many it is at each horizon."""
        return [(why, [at.missing[why] for at in self.horizons]) for why in Missing]


def _basis(numbered: tuple[int, Mark]) -> tuple[str, str, str]:
    figure = numbered[1].figure
    return figure.limits, figure.source, figure.status


def overview(chosen: Chosen, counted: Counted, *, now: datetime.datetime) -> Overview:
    """Count everything, in five queries however many cases there are."""
    return Overview(
        counted=counted,
        endings=endings(chosen),
        horizons=at_horizons(chosen, counted, today=timezone.localdate(now)),
        stages=stage_times(chosen),
        attendance=attendance(chosen, now=now),
    )


def stage_times(chosen: Chosen) -> dict[Stage, StageTime]:
    """How long each stay in a stage took, counted by whole weeks.

    A stay ends when the case's next program begins another one, or when the case is closed.
    """
    programs = chosen.rows_of(Program.objects.issued())
    following = {"partition_by": F("case"), "order_by": F("version").asc()}
    stays = programs.annotate(
        next_stage=Window(Lead("stage"), **following),
        next_since=Window(Lead("stage_since"), **following),
    ).annotate(
        ended=Coalesce(F("next_since"), F("case__closed")),
    )
    # Said with its NULL: where no program follows, a comparison with it would drop the row.
    last_of_stay = Q(next_since__isnull=True) | ~Q(
        next_stage=F("stage"), next_since=F("stage_since")
    )
    weeks = DaysBetween(F("stage_since"), F("ended")) / WEEK
    found: dict[Stage, dict[int | None, int]] = {stage: {} for stage in Stage}
    for stage, lasted, count in count_by(
        stays.filter(last_of_stay).annotate(weeks=weeks), "stage", "weeks"
    ):
        found[Stage(stage)][lasted] = count
    return {
        stage: StageTime(running=weeks.pop(None, 0), weeks=weeks) for stage, weeks in found.items()
    }


def attendance(chosen: Chosen, *, now: datetime.datetime) -> Attendance:
    """How many of the chosen cases' appointments up to now were missed."""
    due = chosen.rows_of(Appointment.objects.whose_time_has_come(now=now))
    status = Appointment.Status
    return Attendance(
        **due.aggregate(
            due=Count("pk"),
            missed=Count("pk", filter=Q(status=status.MISSED)),
            unmarked=Count("pk", filter=Q(status=status.BOOKED)),
        )
    )


def rows_by_case(chosen: Chosen, measure: Counted) -> QuerySet:
    """`courses` in the order of the cases, with lead, onset, and the stage of the running program."""
    running = Program.objects.issued().not_ended().filter(case=OuterRef("case"))
    return (
        courses(chosen, measure)
        .annotate(
            lead=Min("case__lead"),
            onset=Min("case__onset"),
            stage=Subquery(running.values("stage")[:1]),
        )
        .order_by("case")
    )
