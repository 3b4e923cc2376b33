"""Grip trials that were repeated within one test, as the clinic has them on record."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from django.db.models import Count, F, Q, QuerySet, Window
from django.db.models.functions import RowNumber

from assessments.clinical.grip import GRIP_ERRORS, MAX_TRIALS, Effort, Position, grip_error
from assessments.clinical.protocol import WAYS, Way
from assessments.clinical.reliability import MIN_PAIRS, MeanSquares
from assessments.models import GripTest, GripTrial
from cases.models import Case
from clinic.evidence import Figure, Status
from clinic.models import Clinic
from clinic.wording import gettext_noop

NEWEST = Figure(
    value=500,
    unit=gettext_noop("cases"),
    source="no published limit was found",
    status=Status.CLINIC_SETTING,
    limits=gettext_noop(
        "the newest cases, each with the first signed test of three trials that count"
    ),
)


@dataclass(frozen=True, kw_only=True)
class Repeated:
    """One way of squeezing at one side: how many were repeated, and how well; None below MIN_PAIRS."""

    way: Way
    affected: bool
    subjects: int
    squares: MeanSquares | None

    @property
    def missing(self) -> int:
        return max(0, int(MIN_PAIRS.value) - self.subjects)

    @property
    def published(self) -> Figure | None:
        """The published least real change that is nearest: a single trial, within one visit."""
        if self.way.effort is not Effort.PAIN_FREE:
            return None
        return grip_error(self.way.position, within_visit=True, trials=1)


@dataclass(frozen=True, kw_only=True)
class PublishedPair:
    """What is published for one position and interval: of a single trial and of the mean of three."""

    position: Position
    within_visit: bool
    one: float
    three: float
    figure: Figure


def published_pairs() -> tuple[PublishedPair, ...]:
    """Return the published errors of pain-free grip, in newtons, one row a position and interval."""
    rows = {(row.position, row.within_visit, row.trials): row.figure for row in GRIP_ERRORS}
    return tuple(
        PublishedPair(
            position=position,
            within_visit=within,
            one=rows[position, within, 1].value,
            three=rows[position, within, 3].value,
            figure=rows[position, within, 3],
        )
        for position in Position
        for within in (True, False)
    )


def repeated(clinic: Clinic) -> tuple[Repeated, ...]:
    """Return each way and side, in the order of WAYS and the affected side first; two queries at most."""
    tables: dict[tuple[Way, bool], list[tuple[float, ...]]] = {
        (way, affected): [] for way in WAYS for affected in (True, False)
    }
    for test, forces_n in _tests(clinic):
        if test in tables:
            tables[test].append(forces_n)
    return tuple(
        Repeated(way=way, affected=affected, subjects=len(rows), squares=_squares(rows))
        for (way, affected), rows in tables.items()
    )


def _squares(rows: list[tuple[float, ...]]) -> MeanSquares | None:
    return MeanSquares.of(rows) if len(rows) >= MIN_PAIRS.value else None


def _tests(clinic: Clinic) -> Iterable[tuple[tuple[Way, bool], tuple[float, ...]]]:
    ways = {(way.position.value, way.effort.value): way for way in WAYS}
    columns = ("grip_test__position", "grip_test__effort", "grip_test__side")
    trials = (
        GripTrial.objects.of(clinic)
        .filter(grip_test__in=_first_full_tests(clinic).values("pk"), struck="")
        .order_by("grip_test", "number")
        .values_list("grip_test", *columns, "grip_test__visit__case__side", "force_n")
    )
    for (_pk, position, effort, side, sore), rows in groupby(trials, key=lambda row: row[:5]):
        yield (ways.get((position, effort)), side == sore), tuple(row[5] for row in rows)


def _first_full_tests(clinic: Clinic) -> QuerySet[GripTest]:
    """The first signed test with three trials that count, of each case, way and side."""
    newest = Case.objects.of(clinic).order_by("-pk").values("pk")[: int(NEWEST.value)]
    full = (
        GripTest.objects.of(clinic)
        .filter(visit__signed_at__isnull=False, visit__case__in=newest)
        .annotate(count=Count("trials", filter=Q(trials__struck="")))
        .filter(count=MAX_TRIALS)
    )
    one_of = [F("visit__case"), F("side"), F("position"), F("effort")]
    place = Window(RowNumber(), partition_by=one_of, order_by=["visit__on", "pk"])
    return full.annotate(place=place).filter(place=1)
