"""How long a record is kept, whose time has passed, and why one that is asked for can't go yet."""

import datetime
from dataclasses import dataclass

from django.db.models import Exists, Max, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from cases.clinical.keeping import Periods, keep_until, rule_of, shortest_years
from cases.clinical.years import years_later
from cases.models import (
    Appointment,
    Case,
    Contact,
    CorrectionRequest,
    Hold,
    Patient,
    Visit,
)
from cases.models.restriction import restricted
from clinic.models import Clinic
from clinic.wording import Sentence, say
from rehab.also_named import unfinished_imports
from rehab.models import Handout

# What counts as a contact, with the key to the patient and the column that dates it.
COUNTS = {
    "last_visit": (Visit.objects.all(), "case__patient", "on"),
    "last_appointment": (Appointment.objects.not_gone(), "patient", "starts_at"),
    "last_call": (Contact.objects.all(), "case__patient", "at"),
    "last_handout": (Handout.objects.all(), "patient", "printed_at"),
}

KEEPS = {
    "has_open_case": say("A case is open: close it first."),
    "is_on_hold": say("The record is on hold."),
    "is_disputed": say("A request for correction has not been answered."),
    "is_restricted": say("The record is restricted: somebody wants it kept."),
}


@dataclass(frozen=True, kw_only=True)
class Kept:
    """A record with the day of the last contact, until when it is kept, and by which rule."""

    patient: Patient
    last_contact: datetime.date
    until: datetime.date
    rule: Sentence

    def is_due(self, *, today: datetime.date) -> bool:
        return self.until <= today

    def why_not(self, *, today: datetime.date) -> tuple[Sentence, ...]:
        """Why the record may not be erased today; empty when it may."""
        asked = Patient.objects.filter(pk=self.patient.pk).annotate(**_keeps(today=today))
        keeps = asked.values(*KEEPS).get()
        reasons = [reason for name, reason in KEEPS.items() if keeps[name]]
        if any(unfinished_imports(self.patient)):
            reasons.append(
                say(
                    "A file that waits to be brought in names the patient, or may: finish or stop it."
                )
            )
        if not self.is_due(today=today):
            reasons.append(say("It has to be kept until %(day)s.", day=self.until))
        return tuple(reasons)


def periods_of(clinic: Clinic) -> Periods:
    return Periods(
        adult_years=clinic.adult_years,
        child_until_age=clinic.child_until_age,
        child_until_age_if_17=clinic.child_until_age_if_17,
    )


def kept(patient: Patient) -> Kept:
    """How long the record of one patient is kept."""
    found = _with_contacts(Patient.objects.filter(pk=patient.pk)).select_related("clinic").get()
    return _kept(found, periods_of(found.clinic))


def due_records(clinic: Clinic, *, today: datetime.date) -> list[Kept]:
    """The records whose time has passed and that nothing keeps, the longest past first."""
    periods = periods_of(clinic)
    quiet = _quiet_since(clinic, years_later(today, -shortest_years(periods)), today=today)
    found = (_kept(patient, periods) for patient in _with_contacts(quiet))
    due = [one for one in found if one.is_due(today=today)]
    return sorted(due, key=lambda one: (one.until, one.patient.pk))


def _kept(patient: Patient, periods: Periods) -> Kept:
    last = max(day for day in map(_day, (patient.registered_at, *_contacts(patient))) if day)
    # Somebody born after the last contact has a birth date that is wrong: kept by the contact alone.
    born = min(patient.born, last)
    until, rule = keep_until(born, last, periods), rule_of(born, last, periods)
    return Kept(patient=patient, last_contact=last, until=until, rule=rule)


def _contacts(patient: Patient) -> tuple[datetime.date | None, ...]:
    return tuple(getattr(patient, name) for name in COUNTS)


def _day(moment: datetime.date | None) -> datetime.date | None:
    return timezone.localdate(moment) if isinstance(moment, datetime.datetime) else moment


def _with_contacts(patients: QuerySet) -> QuerySet:
    """Each patient with the newest contact of each kind."""
    newest = {
        name: Subquery(
            rows.filter(**{key: OuterRef("pk")})
            .order_by()
            .values(key)
            .annotate(newest=Max(column))
            .values("newest")
        )
        for name, (rows, key, column) in COUNTS.items()
    }
    return patients.annotate(**newest)


def _quiet_since(clinic: Clinic, day: datetime.date, *, today: datetime.date) -> QuerySet:
    """Patients without a contact from `day` on, an open case, a hold, a restriction or an open request."""
    later = (
        Exists(rows.filter(**{key: OuterRef("pk"), f"{_dated(column)}__gt": day}))
        for rows, key, column in COUNTS.values()
    )
    quiet = Q(registered_at__date__lte=day)
    for reason in (*later, *_keeps(today=today).values()):
        quiet &= ~Q(reason)
    return Patient.objects.of(clinic).filter(quiet)


def _keeps(*, today: datetime.date) -> dict[str, Exists]:
    """What keeps a record beside the time, by the names of its reasons."""
    return {
        "has_open_case": Exists(Case.objects.open().filter(patient=OuterRef("pk"))),
        "is_on_hold": Exists(Hold.objects.standing().filter(patient=OuterRef("pk"))),
        "is_disputed": Exists(CorrectionRequest.objects.open().filter(patient=OuterRef("pk"))),
        "is_restricted": restricted("pk", on=today),
    }


def _dated(column: str) -> str:
    return column if column == "on" else f"{column}__date"
