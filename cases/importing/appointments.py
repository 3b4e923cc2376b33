"""A row of a file as an appointment to come: whose, with whom, when, and what stands against it."""

import datetime
import zoneinfo
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils import timezone
from django.utils.translation import gettext as _

from cases.calendar import Calendar, read_calendar
from cases.clinical.names import alike
from cases.importing.dates import parse_moment, parse_time
from cases.importing.patients import meant, read_born, sorted_name
from cases.models import Appointment, Import, ImportRow, Patient
from clinic import slots
from clinic.models import Staff
from clinic.models.clinic import LONGEST, SHORTEST

WRONG = ImportRow.State.WRONG
FAR = datetime.timedelta(days=5 * 366)  # a booking further ahead is a slip in the year
MINUTE = datetime.timedelta(minutes=1)


class Whose:
    """The patients whom rows can mean: by their number in a file that came before, or by name and birth."""

    def __init__(self, run: Import, rows: Iterable[ImportRow]):
        self.by_number: dict[str, set[Patient]] = defaultdict(set)
        self.by_birth: dict[datetime.date, list[Patient]] = defaultdict(list)
        numbers = {row.own_number for row in rows if row.own_number}
        came = ImportRow.objects.of(run.clinic_id).numbered(numbers).select_related("patient")
        for one in came:
            self.by_number[one.own_number].add(one.patient)
        days = {row.born for row in rows if row.born}
        for patient in Patient.objects.of(run.clinic_id).born_on(days):
            self.by_birth[patient.born].append(patient)

    def name(self, row: ImportRow) -> Patient | None:
        """The patient of a row; None where that is not clear, which is noted on the row."""
        if row.own_number:
            return self._numbered(row)
        return self._named(row)

    def _numbered(self, row: ImportRow) -> Patient | None:
        found = self.by_number[row.own_number]
        if len(found) != 1:
            told = (
                _("Number %(number)s stands for more than one patient here.")
                if found
                else _("No patient came with the number %(number)s. Bring in the patients first.")
            )
            row.refuse(WRONG, "own_number", told % {"number": row.own_number})
            return None
        (patient,) = found
        if not row.name or alike(row.name, str(patient)):
            return patient
        told = _("Number %(number)s is that of %(who)s, which is not the name in this row.")
        row.refuse(WRONG, "own_number", told % {"number": row.own_number, "who": patient})
        return None

    def _named(self, row: ImportRow) -> Patient | None:
        born = self.by_birth[row.born]
        found = [patient for patient in born if sorted_name(str(patient)) == row.name]
        if len(found) == 1:
            return found[0]
        row.refuse(WRONG, "family_name", self._who_is_meant(row, found, born))
        return None

    def _who_is_meant(self, row: ImportRow, found: list, born: list) -> str:
        if found:
            records = ", ".join(patient.record for patient in found)
            return _("More than one patient has this name and birth date: %(records)s.") % {
                "records": records
            }
        near = next((one for one in born if alike(row.name, str(one))), None)
        if near:
            told = {"who": near, "record": near.record}
            return _("Nobody has this name; %(who)s, record %(record)s, is born that day.") % told
        return _("Nobody with this name and birth date is on record.")


@dataclass
class Desk:
    """What some rows are checked against: the clinic's practitioners, its calendar, its usual lengths."""

    run: Import
    staff: dict[str, Staff]
    now: datetime.datetime
    with_rows: bool

    @classmethod
    def of(cls, run: Import, *, now: datetime.datetime, with_rows: bool) -> "Desk":
        people = Staff.objects.of(run.clinic).who_treat()
        staff = {str(one.pk): one for one in people}
        return cls(run=run, staff=staff, now=now, with_rows=with_rows)

    def calendar(self, rows: Iterable[ImportRow]) -> Calendar:
        days = [timezone.localdate(row.starts_at) for row in rows] or [timezone.localdate()]
        return read_calendar(self.run.clinic, first=min(days), last=max(days), bookings=())

    def read(self, row: ImportRow) -> None:
        """Note on the row with whom and when it is, and what of that can't be understood."""
        self._read_person(row)
        self._read_practitioner(row)
        row.starts_at, row.ends_at = self._read_time(row)

    def _read_person(self, row: ImportRow) -> None:
        row.own_number = row.cells.get("own_number", "")[:80]
        name = f"{row.cells.get('given_name', '')} {row.cells.get('family_name', '')}"
        row.name = sorted_name(name)
        if row.own_number:
            return
        row.born = read_born(row, self.run)
        if not row.name:
            row.refuse(WRONG, "family_name", _("The name is missing."))

    def _read_practitioner(self, row: ImportRow) -> None:
        text = row.cells.get("practitioner", "")
        row.practitioner = self.staff.get(meant(self.run, "practitioner", text))
        if row.practitioner is None:
            told = _("“%(text)s” stands for nobody who sees patients here.")
            row.refuse(WRONG, "practitioner", told % {"text": text[:40]})

    def _read_time(self, row: ImportRow):
        nothing = None, None
        try:
            day, start = parse_moment(row.cells.get("day", ""), self.run.orders.get("day", ""))
        except ValueError:
            told = _("“%(text)s” is no date in the order that was chosen.")
            row.refuse(WRONG, "day", told % {"text": row.cells.get("day", "")[:40]})
            return nothing
        try:
            start = parse_time(row.cells["time"]) if row.cells.get("time") else start
        except ValueError:
            start = None
        if start is None:
            row.refuse(WRONG, "time", _("There is no time of day to be read."))
            return nothing
        if not -FAR < day - timezone.localdate(self.now) < FAR:
            row.refuse(WRONG, "day", _("Check the year."))
            return nothing
        return self._span(row, day, start) or nothing

    def _span(self, row: ImportRow, day: datetime.date, start: datetime.time):
        minutes = self._minutes(row, start)
        if minutes is None:
            return None
        begins = slots.moment(day, start, zoneinfo.ZoneInfo(self.run.clinic.time_zone))
        if begins is None:
            row.refuse(WRONG, "time", _("The clocks change then, so this time is not clear."))
            return None
        return begins, begins.astimezone(datetime.UTC) + minutes * MINUTE

    def _minutes(self, row: ImportRow, start: datetime.time) -> int | None:
        try:
            minutes = self._said_minutes(row, start)
        except ValueError:
            minutes = 0
        if SHORTEST <= minutes <= LONGEST:
            return minutes
        told = _("The length must be %(shortest)s to %(longest)s minutes.")
        row.refuse(WRONG, "minutes", told % {"shortest": SHORTEST, "longest": LONGEST})
        return None

    def _said_minutes(self, row: ImportRow, start: datetime.time) -> int:
        if text := row.cells.get("minutes"):
            return int(text)
        if text := row.cells.get("end"):
            end = parse_time(text.split(" ", 1)[-1] if "-" in text or "/" in text else text)
            return (end.hour - start.hour) * 60 + end.minute - start.minute
        return self.run.clinic.usual_minutes(kind_of(row, self.run))


def kind_of(row: ImportRow, run: Import) -> str:
    """The kind of appointment; where the file does not say, a follow-up."""
    return meant(run, "kind", row.cells.get("kind", "")) or Appointment.Kind.FOLLOW_UP
