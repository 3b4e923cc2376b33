"""What the packs of a day hold, who gets one, and the making of the next one."""

import datetime
import logging
from collections.abc import Collection
from dataclasses import dataclass, field

from django.utils import timezone
from django.utils.translation import gettext as _

from cases.daybook import by_practitioner
from cases.models import Appointment, Case, Patient
from clinic.models import Clinic, Staff
from rehab.models import Handout, PackRun, Program
from rehab.models.handout import About
from rehab.printing.fonts import CannotPrint
from rehab.sheets import SETTERS, Sheet, Waits

logger = logging.getLogger(__name__)
Kind = Handout.Kind

# What every patient of the day can get at once; a self-check sheet is for those who are asked to check.
USUAL = (Kind.APPOINTMENT_CARD, Kind.HOME_PROGRAM, Kind.RETURN_PLAN, Kind.DIARY_PAGE)


@dataclass(frozen=True, kw_only=True)
class Part:
    """One sheet of a pack before it is set: its kind and what it is about."""

    kind: Handout.Kind
    about: About

    def set(self, *, now: datetime.datetime) -> Sheet:
        return SETTERS[self.kind](self.about, now=now)


@dataclass(kw_only=True)
class Row:
    """One patient of the day, however often they come, with the programs and open cases to print for."""

    patient: Patient
    appointments: list[Appointment] = field(default_factory=list)
    programs: list[Program] = field(default_factory=list)
    cases: list[Case] = field(default_factory=list)

    def parts(self, kinds: Collection[str]) -> list[Part]:
        """The sheets of these kinds that there are for the patient, in the order of the pack."""
        found = [Part(kind=Kind.APPOINTMENT_CARD, about=self.patient)]
        for program in self.programs:
            found.append(Part(kind=Kind.HOME_PROGRAM, about=program))
            if program.return_plan:
                found.append(Part(kind=Kind.RETURN_PLAN, about=program))
            found.append(Part(kind=Kind.DIARY_PAGE, about=program))
        found += [Part(kind=Kind.SELF_CHECK, about=case) for case in self.cases]
        return [part for part in found if part.kind in kinds]


def rows_of(patients: Collection[Patient]) -> dict[int, Row]:
    """What there is to print for each of the patients: issued programs that run, and open cases."""
    rows = {patient.pk: Row(patient=patient) for patient in patients}
    for program in Program.objects.running_for(*patients).with_exercises():
        rows[program.case.patient_id].programs.append(program)
    for case in Case.objects.open_of(*patients):
        rows[case.patient_id].cases.append(case)
    return rows


@dataclass(kw_only=True)
class PackDay:
    """The patients of a day by practitioner, each once: with whom they come first."""

    day: datetime.date
    groups: list[tuple[Staff, list[Row]]]

    @classmethod
    def of(cls, clinic: Clinic, day: datetime.date) -> "PackDay":
        booked = list(
            Appointment.objects.of(clinic).on_day(day).not_gone().with_people().in_order()
        )
        rows = rows_of({one.patient_id: one.patient for one in booked}.values())
        for one in booked:
            rows[one.patient_id].appointments.append(one)
        firsts = by_practitioner(row.appointments[0] for row in rows.values())
        groups = [(who, [rows[one.patient_id] for one in first]) for who, first in firsts]
        return cls(day=day, groups=groups)

    @property
    def rows(self) -> list[Row]:
        return [row for _who, group in self.groups for row in group]

    @property
    def with_program(self) -> list[Row]:
        return [row for row in self.rows if row.programs]


def prepare_next(run: PackRun, *, by: Staff) -> None:
    """Set the sheets of the next patient, as things stand now, and put them into the pack.

    They are set outside a transaction: on SQLite one keeps everybody else from writing.
    """
    pack = run.next_pack
    if pack is None:
        return
    now = timezone.now()
    parts = rows_of([pack.patient])[pack.patient_id].parts(pack.kinds)
    made = [(part, _set(part, now=now)) for part in parts]
    sheets = [sheet for _part, sheet in made if isinstance(sheet, Sheet)]
    left_out = [{"kind": part.kind, "why": why} for part, why in made if isinstance(why, str)]
    pack.put_in(sheets, left_out=left_out, by=by, at=now)


def _set(part: Part, *, now: datetime.datetime) -> Sheet | str:
    """Return the sheet, or why it is left out."""
    try:
        return part.set(now=now)
    except CannotPrint as refusal:
        return str(refusal)
    except Waits:
        # Not for what it waits: who is at the front desk may not read that.
        return _("%(who)s has to act first.") % {"who": part.about.lead}
    except Exception:  # One sheet that fails may not hold up the packs of everybody else.
        logger.exception("The sheet “%s” of %r could not be set", part.kind, part.about.pk)
        return _("A fault in setting it; the server's log has the details.")
