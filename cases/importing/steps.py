"""One step of a run: some rows in one transaction, which says how far it is.

A step that is broken off leaves nothing behind, and the next one begins where the last whole one ended, in
whichever process. All or nothing is kept in three ways: a run with errors does not begin; what turns out
wrong only while it is written (somebody books the time meanwhile) turns the run around; and turned around, it
takes back row by row what it has brought in, but for what has been used meanwhile, which is named.
"""

import datetime

from django.db import IntegrityError, transaction
from django.db.models import ProtectedError
from django.utils.translation import gettext as _

from cases.importing.appointments import kind_of
from cases.importing.checking import check_some, judge
from cases.models import Appointment, Case, Import, ImportRow, Patient, SlotTaken
from clinic.audit import record
from clinic.models import AuditEvent, Staff

# Rows in a step, which is about a second: on SQLite nobody else can write meanwhile.
CHECKED_AT_ONCE = 500
WRITTEN_AT_ONCE = {Import.Kind.PATIENTS: 500, Import.Kind.APPOINTMENTS: 200}

BROUGHT, STAYS, WRONG = ImportRow.State.BROUGHT, ImportRow.State.STAYS, ImportRow.State.WRONG
State = Import.State


class CanNotBegin(Exception):
    """There is nothing to bring in, or there are errors and nothing was to be left out."""


@transaction.atomic
def begin(run: Import, *, all_or_nothing: bool, anyway: list[int], by: Staff) -> None:
    """Begin to bring in what was checked; `anyway` are rows of people who look known and are not.

    Raises CanNotBegin, or BroughtInAlready when the same file has got ahead.
    """
    run.clinic.locked()
    run = locked(run)
    if run.state != State.CHECKED:
        return
    run.refuse_a_second_time()
    run.rows.on_record().filter(pk__in=anyway, run__kind=Import.Kind.PATIENTS).update(
        state=ImportRow.State.GOOD, anyway=True, problems=[], patient=None
    )
    if all_or_nothing and run.rows.wrong().exists():
        raise CanNotBegin(_("There are rows with errors. Put them right, or leave them out."))
    if not run.rows.good().exists():
        raise CanNotBegin(_("No row can be brought in."))
    run.all_or_nothing, run.state = all_or_nothing, State.WRITING
    run.save(update_fields=["all_or_nothing", "state"])
    record(by, "began to bring in", run, what=run.kind, all_or_nothing=all_or_nothing)


@transaction.atomic
def stop(run: Import, *, by: Staff) -> None:
    """Cancel before anything is written; later, end there, or take back what was to be all or nothing."""
    run = locked(run)
    if run.is_over or run.state == State.UNDOING:
        return
    record(by, "stopped", run, rows=run.rows.brought().count())
    if run.state != State.WRITING:
        run.finish(State.CANCELLED)
    elif run.all_or_nothing:
        run.state = State.UNDOING
        run.save(update_fields=["state"])
    else:
        _end(run, State.DONE, by=by)


def locked(run: Import) -> Import:
    return Import.objects.select_for_update(of=("self",), no_key=True).get(pk=run.pk)


@transaction.atomic
def step(run: Import, *, by: Staff, now: datetime.datetime) -> None:
    """Take the next step of a run that moves; whoever waited for another's step goes on behind it."""
    run = locked(run)
    if run.state == State.CHECKING:
        check_some(run, count=CHECKED_AT_ONCE, now=now)
    elif run.state == State.WRITING:
        _write(run, by=by, now=now)
    elif run.state == State.UNDOING:
        _take_back(run, by=by)


def _write(run: Import, *, by: Staff, now: datetime.datetime) -> None:
    waiting = run.rows.good().select_related("practitioner", "patient").in_order()
    rows = list(waiting[: WRITTEN_AT_ONCE[run.kind]])
    if not rows:
        _end(run, State.DONE, by=by)
        return
    good = judge(run, rows, now=now, with_rows=False)
    if run.all_or_nothing and any(row.state == WRONG for row in rows):
        _turn_around(run, rows)
        return
    keep = _keep_patients if run.is_of_patients else _keep_appointments
    keep(run, good)
    ImportRow.objects.keep_found(rows)
    if run.all_or_nothing and any(row.state == WRONG for row in rows):
        _turn_around(run, rows)


def _turn_around(run: Import, rows: list[ImportRow]) -> None:
    ImportRow.objects.keep_found(rows)
    run.state = State.UNDOING
    run.save(update_fields=["state"])


def _keep_patients(run: Import, good: list[tuple[ImportRow, Patient]]) -> None:
    try:
        with transaction.atomic():
            Patient.objects.register_all(run.clinic, [patient for _row, patient in good])
    except IntegrityError:
        _keep_one_by_one(run, good)
        return
    for row, patient in good:
        row.state, row.patient = BROUGHT, patient


def _keep_one_by_one(run: Import, good: list[tuple[ImportRow, Patient]]) -> None:
    """The database has refused some of them; the others are kept, and each refused one is named."""
    number = Patient.objects.next_number(run.clinic)
    for row, patient in good:
        patient.pk, patient.record_number = None, number
        try:
            with transaction.atomic():
                patient.save(force_insert=True)
        except IntegrityError:
            row.refuse(WRONG, "", _("The database refuses this row."))
        else:
            row.state, row.patient, number = BROUGHT, patient, number + 1


def _keep_appointments(run: Import, good: list[tuple[ImportRow, Patient]]) -> None:
    cases = _only_cases([patient for _row, patient in good])
    bookings = [
        Appointment(
            clinic_id=run.clinic_id,
            patient=patient,
            case=cases.get(patient.pk),
            practitioner=row.practitioner,
            kind=kind_of(row, run),
            starts_at=row.starts_at,
            ends_at=row.ends_at,
        )
        for row, patient in good
    ]
    rows = [row for row, _patient in good]
    try:
        Appointment.objects.keep_all(bookings)
    except SlotTaken:
        _book_one_by_one(rows, bookings)
        return
    for row, booking in zip(rows, bookings, strict=True):
        row.state, row.appointment = BROUGHT, booking


def _book_one_by_one(rows: list[ImportRow], bookings: list[Appointment]) -> None:
    """Somebody else has one of the times; the others are kept, and each that is taken is named."""
    for row, booking in zip(rows, bookings, strict=True):
        booking.pk = None
        try:
            booking.keep()
        except SlotTaken:
            row.refuse(WRONG, "time", _("Somebody else has booked the practitioner meanwhile."))
        else:
            row.state, row.appointment = BROUGHT, booking


def _only_cases(patients: list[Patient]) -> dict[int, Case]:
    """The open case of each patient who has just one: the booking is for that."""
    found: dict[int, list[Case]] = {}
    for case in Case.objects.open_of(*patients):
        found.setdefault(case.patient_id, []).append(case)
    return {pk: cases[0] for pk, cases in found.items() if len(cases) == 1}


def _take_back(run: Import, *, by: Staff) -> None:
    """Remove the last rows that were brought in; the numbers of their records are free again."""
    rows = list(
        run.rows.brought()
        .select_related("patient", "appointment")
        .order_by("-line")[: WRITTEN_AT_ONCE[run.kind]]
    )
    if not rows:
        _end(run, State.UNDONE, by=by)
        return
    touched = _touched(run, rows)
    for row in rows:
        _remove(row, used=_kept_by(row).pk in touched)


def _kept_by(row: ImportRow) -> Patient | Appointment:
    return row.appointment or row.patient


def _touched(run: Import, rows: list[ImportRow]) -> set[int]:
    """Those whom somebody has changed meanwhile, which the trail knows; looking alone changes nothing."""
    what = Patient if run.is_of_patients else Appointment
    events = AuditEvent.objects.filter(
        object_type=what._meta.model_name, object_id__in=[_kept_by(row).pk for row in rows]
    )
    return set(events.exclude(verb="opened").values_list("object_id", flat=True))


def _remove(row: ImportRow, *, used: bool) -> None:
    mine, field = _kept_by(row), "appointment" if row.appointment else "patient"
    try:
        with transaction.atomic():
            if used:
                raise ProtectedError("", set())
            setattr(row, field, None)
            row.state = ImportRow.State.GOOD
            row.save()
            mine.delete()
    except ProtectedError:
        setattr(row, field, mine)
        row.refuse(STAYS, "", _("Used meanwhile, so it stays."))
        row.save()


def _end(run: Import, state: Import.State, *, by: Staff) -> None:
    counts = dict(run.counts)
    run.finish(state)
    verb = "brought in" if state == State.DONE else "took back"
    record(by, verb, run, what=run.kind, sha=run.sha256[:12], **counts)
