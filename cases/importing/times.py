"""What stands against the time of a row: the clock, the calendar, the book, rows further up in the file.

Book and rows are read a day at a time, with everything that the rows of that day could meet: a query for
each row would be a hundred thousand of them, and all days at once have no bound in memory.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable
from itertools import groupby

from django.utils import timezone
from django.utils.translation import gettext as _

from cases.fitting import misfits
from cases.importing.appointments import Desk
from cases.models import Appointment, ImportRow
from clinic.templatetags.clinic_tags import clock, written

WRONG, KNOWN, GOOD = ImportRow.State.WRONG, ImportRow.State.KNOWN, ImportRow.State.GOOD
Taken = Appointment | ImportRow


class Held:
    """What is taken, found by practitioner and by patient."""

    def __init__(self, taken: Iterable[Taken] = ()):
        self.by_practitioner: dict[int, list[Taken]] = defaultdict(list)
        self.by_patient: dict[int, list[Taken]] = defaultdict(list)
        for one in taken:
            self.add(one)

    def add(self, one: Taken) -> None:
        self.by_practitioner[one.practitioner_id].append(one)
        self.by_patient[one.patient_id].append(one)

    def in_the_way(self, row: ImportRow) -> Taken | None:
        """The first that has the practitioner or the patient of a row while the row wants them."""
        same = self.by_practitioner[row.practitioner_id] + self.by_patient[row.patient_id]
        meets = (one for one in same if one.starts_at < row.ends_at and row.starts_at < one.ends_at)
        return min(meets, key=lambda one: one.pk or 0, default=None)


def check_times(rows: list[ImportRow], desk: Desk) -> None:
    """Note on each row what stands against its time."""
    rows = [row for row in rows if row.state == GOOD]
    calendar, booked = desk.calendar(rows), met(rows, in_book(desk))
    above = met(rows, desk.run.rows.good()) if desk.with_rows else {}
    before = Held()
    for row in rows:
        start, end = (at.astimezone(calendar.zone) for at in (row.starts_at, row.ends_at))
        if start < desk.now:
            row.refuse(WRONG, "day", _("This time is over."))
            continue
        for part, why in misfits(calendar, row.practitioner, start, end):
            row.refuse(WRONG, part, why)
        if row.state == GOOD and (other := booked.get(row.line)):
            _refuse_taken(row, other, _said(row, other))
        elif row.state == GOOD and desk.with_rows:
            _check_further_up(row, above.get(row.line) or before.in_the_way(row))
        if row.state == GOOD:
            before.add(row)


def in_book(desk: Desk):
    return Appointment.objects.of(desk.run.clinic_id).live().with_people()


def met(rows: list[ImportRow], taken) -> dict[int, Taken]:
    """What is in the way of each row, by its line; `taken` is a query of bookings or of rows."""
    found = {}
    for _day, together in groupby(sorted(rows, key=_starts), key=lambda row: _starts(row).date()):
        of_day = list(together)
        around = taken.around(of_day)
        held = Held(around)
        found |= {row.line: other for row in of_day if (other := held.in_the_way(row))}
    return found


def _starts(row: ImportRow) -> datetime.datetime:
    return timezone.localtime(row.starts_at)


def _check_further_up(row: ImportRow, above: ImportRow | None) -> None:
    if above:
        told = _("Line %(line)s has this time already.") % {"line": above.line}
        _refuse_taken(row, above, told)


def _refuse_taken(row: ImportRow, other: Taken, why: str) -> None:
    keys = ("practitioner_id", "patient_id", "starts_at")
    same = all(getattr(row, name) == getattr(other, name) for name in keys)
    row.refuse(KNOWN if same else WRONG, "time", why)


def _said(row: ImportRow, other: Appointment) -> str:
    told = {
        "day": written(other.starts_at),
        "time": clock(other.starts_at),
        "practitioner": other.practitioner,
    }
    if other.patient_id == row.patient_id:
        return (
            _("The patient is booked already, on %(day)s at %(time)s with %(practitioner)s.") % told
        )
    return _("%(practitioner)s is booked already, on %(day)s at %(time)s.") % told
