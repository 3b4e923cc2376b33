"""What is aimed at, prescribed and booked: Goal, CarePlan with its activities, Appointment."""

from rehab.clinical.codes import EXERCISES

from .draft import Draft
from .facts import Json, facts, moment
from .record import Booking, CaseRecord, Exercise, ProgramRecord
from .texts import narrative

DOSE_FACTS = (
    "position", "sets", "repetitions", "hold_s", "load_kg", "up_s", "down_s", "rest_s",
    "sessions_per_day", "days_per_week", "remark", "words",
)  # fmt: skip
PROGRAM_FACTS = (
    "version", "stage", "stage_since", "policy", "load_kg", "start_load_kg", "load_since",
    "smallest_step_kg", "weekdays", "return_plan", "job_load_kg", "return_step", "edition",
    "more_because", "ended_at", "withdrawn_because",
)  # fmt: skip
BOOKING_FACTS = ("kind", "arrived_at", "cancelled_at", "sequence")
STATES = {
    "booked": "booked",
    "arrived": "arrived",
    "seen": "fulfilled",
    "missed": "noshow",
    "cancelled": "cancelled",
}


def write_plan(draft: Draft, record: CaseRecord) -> None:
    _goals(draft, record)
    for program in record.programs:
        _program(draft, record, program)
    for number, booking in enumerate(record.bookings, start=1):
        _booking(draft, f"booking/{number}", booking)


def _goals(draft: Draft, record: CaseRecord) -> None:
    for activity in record.activities:
        draft.add(
            f"goal/{activity.position}",
            "Goal",
            extension=facts("activity", activity, ("position",)),
            lifecycleStatus="active" if record.status == "open" else "completed",
            description={"text": activity.name},
            subject=draft.ref("patient"),
            startDate=record.opened.isoformat(),
            addresses=[draft.ref("condition")],
        )


def program_key(program: ProgramRecord) -> str:
    return f"program/{program.version}"


def _program(draft: Draft, record: CaseRecord, program: ProgramRecord) -> None:
    ended = {"end": moment(program.ended_at)} if program.ended_at else {}
    title = f"Home program, version {program.version}, stage {program.stage}"
    lines = [f"{one.name}: {one.dose}" for one in program.exercises]
    draft.add(
        program_key(program),
        "CarePlan",
        text=narrative([title, *lines]),
        extension=facts("program", program, PROGRAM_FACTS),
        status=_state(program),
        intent="plan",
        title=title,
        subject=draft.ref("patient"),
        period={"start": moment(program.issued_at), **ended},
        created=moment(program.issued_at),
        author=draft.by(program.issued_by),
        addresses=[draft.ref("condition")],
        goal=[draft.ref(f"goal/{one.position}") for one in record.activities],
        activity=[{"detail": _exercise(one, program)} for one in program.exercises],
        note=[{"text": program.remark}] if program.remark else [],
    )


def _state(program: ProgramRecord) -> str:
    if program.withdrawn_because:
        return "revoked"
    return "completed" if program.ended_at else "active"


DOING = {"revoked": "cancelled", "completed": "completed", "active": "in-progress"}


def _exercise(exercise: Exercise, program: ProgramRecord) -> Json:
    card = {"system": EXERCISES, "code": exercise.card, "display": exercise.name}
    a_week = exercise.sessions_per_day * exercise.days_per_week
    return {
        "extension": facts("dose", exercise, DOSE_FACTS),
        "kind": "ServiceRequest",
        "code": {"coding": [card], "text": exercise.name},
        "status": DOING[_state(program)],
        "scheduledTiming": {"repeat": {"frequency": a_week, "period": 1, "periodUnit": "wk"}},
        "description": exercise.dose,
    }


def _booking(draft: Draft, key: str, booking: Booking) -> None:
    """FHIR lets only what was cancelled say why (app-4)."""
    reason = booking.cancel_reason if booking.status == "cancelled" else ""
    draft.add(
        key,
        "Appointment",
        extension=facts("booking", booking, BOOKING_FACTS),
        status=STATES[booking.status],
        cancelationReason={"text": reason} if reason else None,
        appointmentType={"text": booking.kind},
        start=moment(booking.starts_at),
        end=moment(booking.ends_at),
        participant=[
            {"actor": draft.ref("patient"), "status": "accepted"},
            {"actor": draft.by(booking.practitioner), "status": "accepted"},
        ],
    )
