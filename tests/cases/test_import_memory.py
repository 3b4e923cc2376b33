"""How much of a file is in memory while it is brought in: no more with ten times the rows.

A step holds its rows and whoever was born on the same days; so each person here has a day of their own.
"""

import datetime
import gc

import pytest
from django.utils import timezone

from cases.importing import steps
from cases.importing.columns import guess
from cases.importing.survey import survey
from cases.models import Import
from tests.cases.importing import BOOKED, HEAD, row, written
from tests.factories.clinic import create_clinic, create_manager, create_physiotherapist
from tests.memory import peak_mb

pytestmark = pytest.mark.django_db

FEW, MANY = 300, 3000
# Measured: 0.61 and 0.65 MB on SQLite, 0.45 and 0.56 MB on PostgreSQL.
MORE_MB = 0.3
BOOKED_A_DAY, PATIENTS = 40, 50


@pytest.fixture(autouse=True)
def _small_steps(monkeypatch):
    monkeypatch.setattr(steps, "CHECKED_AT_ONCE", 100)
    for kind in steps.WRITTEN_AT_ONCE:
        monkeypatch.setitem(steps.WRITTEN_AT_ONCE, kind, 100)
    monkeypatch.setattr("cases.models.imports.PART", 8192)


def file_of(count: int) -> bytes:
    return written(person(number) for number in range(1, count + 1))


def person(number: int) -> list[str]:
    born = datetime.date(1930, 1, 1) + datetime.timedelta(days=number * 7)
    return row(number, **{"Date of birth": born.isoformat()})


def booking(number: int, who) -> list[str]:
    """Ten minutes of a practitioner's day; the patients come in turn."""
    days, place = divmod(number, BOOKED_A_DAY)
    day = timezone.localdate() + datetime.timedelta(days=1 + days)
    clock = f"{8 + place // 6:02d}:{place % 6 * 10:02d}"
    return [str(1 + number % PATIENTS), day.isoformat(), clock, "10", str(who)]


def bring_in(data: bytes, by, *, kind="patients", head=HEAD, **understood) -> Import:
    understood = understood or {"orders": {"born": "iso"}, "meanings": {"sex": {"f": "female"}}}
    chunks = (data[at : at + 4096] for at in range(0, len(data), 4096))
    run = Import.objects.receive(chunks, kind=kind, name="old.csv", by=by)
    columns = guess(head, run.kind)
    found = survey(run.parts(), encoding="utf-8", delimiter=",", columns=columns)
    run.understand(
        encoding="utf-8",
        delimiter=",",
        head=head,
        columns=columns,
        **understood,
        total=found.total,
    )
    go_on(run, by)
    steps.begin(run, all_or_nothing=True, anyway=[], by=by)
    go_on(run, by)
    return Import.objects.get(pk=run.pk)


def go_on(run: Import, by) -> None:
    run.refresh_from_db()
    while run.moves:
        steps.step(run, by=by, now=timezone.now())
        gc.collect()  # measured is what is held, not what waits to be collected
        run.refresh_from_db()


def peak_of(data: bytes, by, **how) -> float:
    def run():
        assert bring_in(data, by, **how).state == "done"

    return peak_mb(run)


def test_ten_times_the_rows_take_no_more_memory(manager, settings):
    settings.DEBUG = False  # Django keeps each statement otherwise
    bring_in(written([row(9999)]), manager)  # what is loaded once is loaded
    few, many = file_of(FEW), file_of(MANY)
    small, large = peak_of(few, manager), peak_of(many, manager)

    assert large < small + MORE_MB, (small, large)
    assert len(many) > 9 * len(few)


def peak_of_bookings(count: int) -> float:
    """The same for so many appointments, with one practitioner of a clinic of their own."""
    clinic = create_clinic()
    by, who = create_manager(clinic=clinic), create_physiotherapist(clinic=clinic)
    bring_in(file_of(PATIENTS), by)
    data = written((booking(number, who) for number in range(count)), head=BOOKED)
    meant = {"practitioner": {str(who).casefold(): str(who.pk)}}
    how = {"kind": "appointments", "head": BOOKED, "orders": {"day": "iso"}, "meanings": meant}
    return peak_of(data, by, **how)


def test_ten_times_the_appointments_take_no_more_memory(settings):
    """A book of many weeks is read a day at a time. Measured: 0.72 and 0.78 MB on SQLite."""
    settings.DEBUG = False
    peak_of_bookings(100)
    small, large = peak_of_bookings(FEW // 2), peak_of_bookings(MANY // 2)

    assert large < small + MORE_MB, (small, large)


def test_the_measure_sees_a_file_that_is_held_whole(manager):
    def whole(count: int) -> float:
        return peak_mb(lambda: written([row(n) for n in range(count)]).splitlines())

    assert whole(MANY) > whole(FEW) + MORE_MB
