"""The rows of the file of cases without names, some cases at a time, in the order of their codes.

No text that somebody typed is read, and no name, number, contact, practitioner or time of day. Only what was
signed or issued before the file was begun is in it, and that can't change while it is sent.
"""

import datetime
import zoneinfo
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

from django.db.models import Count, Q, QuerySet

from assessments.models import MeasuredValue
from cases.models import Case, Finding, Visit
from cases.models.restriction import restricted
from clinic.models import Clinic
from clinic.tables import yes_or_no
from rehab.clinical.without_names import Cells, Disguise, age_band, age_in_years, cells_of
from rehab.models import Decision, DiaryDay, Program
from rehab.research.columns import TABLES, heads

AT_ONCE = 100  # cases; a diary has some hundred days
UNKNOWN = "unknown"


@dataclass(frozen=True)
class Unnamed:
    """One file in the making: whose cases are in it, and how they are disguised."""

    clinic: Clinic
    at: datetime.datetime
    today: datetime.date
    disguise: Disguise = field(default_factory=Disguise)

    @cached_property
    def cases(self) -> dict[int, int]:
        """The patient of each case, both by number; restricted records are left out."""
        free = ~restricted("patient", on=self.today)
        return dict(Case.objects.of(self.clinic).filter(free).values_list("pk", "patient"))

    @cached_property
    def people(self) -> int:
        return len(set(self.cases.values()))

    @property
    def left_out(self) -> int:
        """How many people are left out because their records are restricted."""
        kept = Case.objects.of(self.clinic).filter(restricted("patient", on=self.today))
        return kept.values("patient").distinct().count()

    @cached_property
    def cells(self) -> Cells:
        """Which people are alike in age band, sex and side."""
        free = ~restricted("patient", on=self.today)
        rows = Case.objects.of(self.clinic).filter(free).values_list(
            "patient", "patient__born", "opened", "patient__sex", "side"
        )  # fmt: skip
        return cells_of(
            (patient, (_age(born, opened)[1], sex, side))
            for patient, born, opened, sex, side in rows.iterator()
        )

    def code(self, kind: str, number: int) -> str:
        return self.disguise.code(kind, number)

    def moved(self, case: int, day: datetime.date | datetime.datetime | None) -> str:
        """A day as it stands in the file: moved with all days of the same patient."""
        if day is None:
            return ""
        if isinstance(day, datetime.datetime):
            day = day.astimezone(self._zone).date()
        return (day + self.disguise.shift(self.cases[case])).isoformat()

    @cached_property
    def _zone(self) -> datetime.tzinfo:
        return zoneinfo.ZoneInfo(self.clinic.time_zone)

    def tables(self) -> Iterator[tuple[str, Iterator[tuple]]]:
        """Each table by its name, with its rows below their heading."""
        for name in TABLES:
            yield name, self._rows(name)

    def _rows(self, name: str) -> Iterator[tuple]:
        yield heads(name)
        ordered = sorted(self.cases, key=lambda pk: self.code("case", pk))
        for start in range(0, len(ordered), AT_ONCE):
            some = ordered[start : start + AT_ONCE]
            found: dict[int, list[tuple]] = {pk: [] for pk in some}
            for case, row in GATHERED[name](self, some):
                found[case].append(row)
            for rows in found.values():
                yield from rows


Rows = Iterator[tuple[int, tuple]]


def _age(born: datetime.date, on: datetime.date) -> tuple[int | str, str]:
    """The age with its band; a birth after the day is a mistake, and tells neither."""
    if born > on:
        return "", UNKNOWN
    years = age_in_years(born, on)
    return years, age_band(years)


def _blank(*cells: object) -> tuple:
    return tuple("" if cell is None else cell for cell in cells)


def _cases(file: Unnamed, some: Iterable[int]) -> Rows:
    signed = Count("visits", filter=Q(visits__signed_at__lte=file.at))
    rows = Case.objects.filter(pk__in=some).annotate(signed=signed)
    for one in rows.values(
        "pk", "patient", "patient__born", "patient__sex", "patient__handedness", "side", "onset",
        "opened", "closed", "status", "signed",
    ):  # fmt: skip
        case, opened = one["pk"], one["opened"]
        who = file.code("patient", one["patient"]), file.code("case", case)
        about = one["patient__sex"], one["patient__handedness"], one["side"]
        before = (opened - one["onset"]).days
        days = file.moved(case, opened), file.moved(case, one["closed"])
        age = _age(one["patient__born"], opened)
        yield case, (*who, *age, *about, before, *days, one["status"], one["signed"])


def _visits(file: Unnamed, some: Iterable[int]) -> Rows:
    rows = _signed(Visit.objects.all(), file).filter(case__in=some).order_by("on", "pk")
    for pk, case, on, minutes, opened in rows.values_list(
        "pk", "case", "on", "minutes", "case__opened"
    ):
        who = file.code("case", case), file.code("visit", pk)
        yield case, (*who, file.moved(case, on), (on - opened).days, *_blank(minutes))


def _of_visits(rows: QuerySet, file: Unnamed, some: Iterable[int], *names: str) -> Rows:
    """Rows that hang on signed visits: the codes of case and visit, then the columns of these names."""
    of = "battery__visit" if rows.model is Finding else "visit"
    found = _signed(rows, file, f"{of}__").filter(**{f"{of}__case__in": some})
    found = found.order_by(f"{of}__on", of, "pk")
    for case, visit, *cells in found.values_list(f"{of}__case", of, *names):
        yield case, (file.code("case", case), file.code("visit", visit), *_blank(*cells))


def _signed(rows: QuerySet, file: Unnamed, leads: str = "") -> QuerySet:
    return rows.filter(**{f"{leads}signed_at__lte": file.at})


def _measures(file: Unnamed, some: Iterable[int]) -> Rows:
    return _of_visits(MeasuredValue.objects.all(), file, some, "measure", "value")


def _findings(file: Unnamed, some: Iterable[int]) -> Rows:
    names = (
        "battery__performed_by", "battery__resting_pain", "test", "variant", "side", "finger",
        "answer", "pain", "strength", "tingling",
    )  # fmt: skip
    for case, (*cells, tingling) in _of_visits(Finding.objects.all(), file, some, *names):
        yield case, (*cells, yes_or_no(tingling))


def _programs(file: Unnamed, some: Iterable[int]) -> Rows:
    rows = Program.objects.filter(issued_at__lte=file.at, case__in=some).order_by("version")
    for case, version, stage, policy, load, issued, ended in rows.values_list(
        "case", "version", "stage", "policy", "load_kg", "issued_at", "ended_at"
    ):
        days = file.moved(case, issued), file.moved(case, ended)
        yield case, (file.code("case", case), version, stage, policy, *_blank(load), *days)


def _decisions(file: Unnamed, some: Iterable[int]) -> Rows:
    names = "proposed", "made", "proposed_step", "made_step"
    return _of_visits(Decision.objects.all(), file, some, *names)


def _diary(file: Unnamed, some: Iterable[int]) -> Rows:
    rows = DiaryDay.objects.filter(case__in=some).order_by("on", "pk")
    for case, on, *cells, sharp in rows.values_list(
        "case", "on", "sets_done", "last_set_repetitions", "load_kg", "hold_s", "worst_pain",
        "next_morning_pain", "night_wakings", "sharp_or_locking",
    ):  # fmt: skip
        told = file.moved(case, on), *_blank(*cells), yes_or_no(sharp)
        yield case, (file.code("case", case), *told)


GATHERED: dict[str, Callable[[Unnamed, Iterable[int]], Rows]] = {
    "cases": _cases,
    "visits": _visits,
    "measures": _measures,
    "findings": _findings,
    "programs": _programs,
    "decisions": _decisions,
    "diary": _diary,
}
