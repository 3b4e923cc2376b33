"""Lists of patients, bookings, e-mail and files as rows for a file, read some at a time."""

from collections.abc import Iterable, Iterator, Mapping

from cases.models import Appointment, Patient
from cases.models.appointment_query import AppointmentQuerySet
from cases.models.imports import ImportQuerySet
from cases.models.notice_query import NoticeQuerySet
from cases.models.patient import PatientQuerySet
from cases.to_move import ToMove
from clinic.csv_file import AT_ONCE
from clinic.models import Absence, Clinic, ClosedDay
from clinic.tables import clock_of

NAMED = ("record", "family name", "given name")
PATIENTS = (*NAMED, "born (date)", "phone")
BOOK = ("starts (date and time)", "length (min)", "with", "kind", "status", *NAMED)
TO_MOVE = ("starts (date and time)", "length (min)", "with", "kind", *NAMED, "phone", "why")
MAIL = (
    *NAMED, "phone", "about", "appointment starts (date and time)", "status", "why",
    "written (date and time)", "sent (date and time)",
)  # fmt: skip
ABSENCES = (
    "who", "from (date and time)", "until (date and time)", "reason", "to be moved (bookings)",
)  # fmt: skip
CLOSED_DAYS = ("day (date)", "why closed", "to be moved (bookings)")
IMPORTS = (
    "file", "what is in it", "size (bytes)", "rows (count)", "uploaded (date and time)", "by",
    "state",
)  # fmt: skip


def named(patient: Patient) -> tuple[str, str, str]:
    """The cells below NAMED."""
    return patient.record, patient.family_name, patient.given_name


def patient_rows(patients: PatientQuerySet) -> Iterator[tuple]:
    yield PATIENTS
    for one in patients.iterator(AT_ONCE):
        yield *named(one), one.born, one.phone


def booking_rows(bookings: AppointmentQuerySet, clinic: Clinic) -> Iterator[tuple]:
    at = clock_of(clinic)
    yield BOOK
    for one in bookings.with_people().iterator(AT_ONCE):
        when = at(one.starts_at), one.minutes, one.practitioner
        yield *when, one.kind, one.status, *named(one.patient)


def to_move_rows(waiting: Iterable[ToMove], clinic: Clinic) -> Iterator[tuple]:
    at = clock_of(clinic)
    yield TO_MOVE
    for row in waiting:
        one: Appointment = row.booking
        when = at(one.starts_at), one.minutes, one.practitioner, one.kind
        yield *when, *named(one.patient), one.patient.phone, " ".join(row.reasons)


def mail_rows(notices: NoticeQuerySet, clinic: Clinic) -> Iterator[tuple]:
    at = clock_of(clinic)
    yield MAIL
    for one in notices.iterator(AT_ONCE):
        patient = one.appointment.patient
        about = one.occasion, at(one.appointment.starts_at), one.status, one.why
        yield *named(patient), patient.phone, *about, at(one.written_at), at(one.sent_at)


def absence_rows(absences: Iterable[tuple[Absence, int]], clinic: Clinic) -> Iterator[tuple]:
    """Each absence with how many bookings it leaves to be moved."""
    at = clock_of(clinic)
    yield ABSENCES
    for one, waiting in absences:
        yield one.staff, at(one.starts_at), at(one.ends_at), one.reason, waiting


def closed_day_rows(days: Iterable[ClosedDay], waiting: Mapping) -> Iterator[tuple]:
    """Each closed day with how many bookings stand on it."""
    yield CLOSED_DAYS
    for one in days:
        yield one.day, one.name, waiting.get(one.day, 0)


def import_rows(runs: ImportQuerySet, clinic: Clinic) -> Iterator[tuple]:
    at = clock_of(clinic)
    yield IMPORTS
    for one in runs.iterator(AT_ONCE):
        size = one.size, one.total
        yield one.file_name, one.kind, *size, at(one.made_at), one.made_by, one.state
