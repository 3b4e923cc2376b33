"""A case of the database as a `CaseRecord`: what is signed and issued, and nothing that is a draft."""

import datetime
import json
import uuid
from collections.abc import Iterable

from django.conf import settings
from django.db.models import Prefetch
from django.utils import translation
from django.utils.crypto import salted_hmac

from assessments.course import VALUES, course_of
from assessments.models import GripTest
from assessments.models.own import SINGLE, single_numbers
from cases.models import Addendum, Appointment, Case, Patient, Visit
from clinic.models import Staff
from clinic.templatetags.clinic_tags import say
from rehab.clinical.codes import DiagnosisCodes
from rehab.models import Program, ProgramExercise

from .battery import FINDING_FACTS, POINT_FACTS, ROUND_FACTS
from .diary import DAY_FACTS
from .observations import GRIP_FACTS, NOTES, SCORED
from .plan import BOOKING_FACTS, DOSE_FACTS, PROGRAM_FACTS
from .record import (
    Activity,
    Added,
    Author,
    Booking,
    CaseRecord,
    DiaryDay,
    Exercise,
    Finding,
    Form,
    Grip,
    Person,
    Pressed,
    ProgramRecord,
    Round,
    Source,
    Trial,
    VisitRecord,
)
from .texts import plain

Values = tuple[tuple[str, float], ...]


def source_of(case: Case, *, at: datetime.datetime) -> Source:
    """Where a case comes from. Its identifiers follow from the site's secret key: no other site has them."""
    clinic = case.clinic
    return Source(
        space=_space(f"{case.clinic_id}/{case.patient_id}/{case.pk}"),
        clinic_space=_space(str(case.clinic_id)),
        clinic=plain(clinic.name),
        address=plain(clinic.address),
        phone=plain(clinic.phone),
        record=case.patient.record,
        made_at=at,
        diagnosis_codes=DiagnosisCodes(clinic.diagnosis_codes),
        snomed=bool(clinic.snomed_licence),
    )


def _space(row: str) -> uuid.UUID:
    return uuid.UUID(bytes=salted_hmac("rehab.exchange", row).digest()[:16], version=4)


def gather(case: Case) -> CaseRecord:
    """All that is exchanged of a case; some twenty queries, however long it is."""
    scored = _scored(case)
    with translation.override(settings.LANGUAGE_CODE):
        return CaseRecord(
            patient=_person(case.patient),
            onset=case.onset,
            opened=case.opened,
            lead=_author(case.lead),
            side=case.affected,
            status=case.status,
            closed=case.closed,
            discharge_reason=plain(case.discharge_reason),
            due_on=case.due_on,
            activities=tuple(
                Activity(position=one.position, name=plain(one.name))
                for one in case.activities.order_by("position")
            ),
            visits=tuple(_visit(one, scored[one.pk]) for one in _visits(case)),
            programs=tuple(map(_program, _programs(case))),
            diary=tuple(_diary(case)),
            bookings=tuple(map(_booking, _bookings(case))),
        )


def _visits(case: Case) -> Iterable[Visit]:
    trials = GripTest.objects.prefetch_related("trials").order_by("pk")
    added = Addendum.objects.select_related("written_by").order_by("pk")
    rows = case.visits.signed().select_related("practitioner", "signed_by", "battery", *SINGLE)
    inside = ("pain_ratings", "questionnaires", "activity_ratings__activity")
    inside += ("battery__findings", "battery__points")
    parts = (Prefetch("grip_tests", trials), Prefetch("addenda", added))
    return rows.prefetch_related(*inside, *parts).order_by("on", "pk")


def _programs(case: Case) -> Iterable[Program]:
    rows = Program.objects.issued().filter(case=case).select_related("issued_by")
    return rows.prefetch_related("exercises").order_by("version")


def _bookings(case: Case) -> Iterable[Appointment]:
    return case.appointments.select_related("practitioner").order_by("pk")


def _taken(row: object, names: Iterable[str]) -> dict[str, object]:
    """The named columns of a row; text as FHIR allows it."""
    found = {name: getattr(row, name) for name in names}
    return {name: plain(one) if isinstance(one, str) else one for name, one in found.items()}


def _person(patient: Patient) -> Person:
    return Person(
        given=plain(patient.given_name),
        family=plain(patient.family_name),
        **_taken(patient, ("born", "sex", "handedness", "phone", "email", "language")),
    )


def _author(staff: Staff) -> Author:
    return Author(
        given=plain(staff.first_name),
        family=plain(staff.last_name) or staff.username,
        registration=plain(staff.registration_number),
    )


def _scored(case: Case) -> dict[int, Values]:
    """What each visit comes to, by its number: scored from its rows, as every page does."""
    found = {
        at.visit: [(name, VALUES[name](at)) for name in SCORED] for at in course_of(case).visits
    }
    return {
        visit: tuple((name, float(value)) for name, value in values if value is not None)
        for visit, values in found.items()
    }


def _visit(visit: Visit, values: Values) -> VisitRecord:
    pains = visit.pain_ratings.all()
    rated = visit.activity_ratings.all()
    return VisitRecord(
        practitioner=_author(visit.practitioner),
        signed_by=_author(visit.signed_by),
        pains=tuple(sorted((one.context, one.value) for one in pains)),
        grips=tuple(map(_grip, visit.grip_tests.all())),
        forms=tuple(
            Form(instrument=one.instrument, items=tuple(one.items))
            for one in visit.questionnaires.all()
        ),
        activities=tuple(sorted((one.activity.position, one.value) for one in rated)),
        values=values,
        battery=_round(visit),
        added=tuple(map(_added, visit.addenda.all())),
        **single_numbers(visit),
        **_taken(visit, (*NOTES, "on", "minutes", "due_on", *SIGNATURE)),
    )


SIGNATURE = ("signed_at", "signed_name", "signed_registration")


def _grip(test: GripTest) -> Grip:
    trials = tuple(
        Trial(number=one.number, force_n=one.force_n, struck=one.struck)
        for one in test.trials.all()
    )
    return Grip(trials=trials, **_taken(test, GRIP_FACTS))


def _round(visit: Visit) -> Round | None:
    battery = getattr(visit, "battery", None)
    if battery is None:
        return None
    return Round(
        findings=tuple(
            Finding(**_taken(one, FINDING_FACTS)) for one in _in_order(battery.findings.all())
        ),
        points=tuple(
            Pressed(**_taken(one, POINT_FACTS)) for one in _in_order(battery.points.all())
        ),
        **_taken(battery, ROUND_FACTS),
    )


def _in_order(rows: Iterable) -> list:
    return sorted(rows, key=lambda row: row.pk)


def _diary(case: Case) -> Iterable[DiaryDay]:
    for day in case.diary_days.select_related("program").order_by("on"):
        told = _taken(day, [name for name in DAY_FACTS if name != "version"])
        yield DiaryDay(version=day.program.version, **told)


def _added(addendum: Addendum) -> Added:
    return Added(
        text=plain(addendum.text),
        reason=plain(addendum.reason),
        author=_author(addendum.written_by),
        at=addendum.written_at,
    )


def _program(program: Program) -> ProgramRecord:
    told = _taken(program, (*PROGRAM_FACTS, "issued_at", "remark"))
    return ProgramRecord(
        issued_by=_author(program.issued_by),
        exercises=tuple(map(_exercise, program.exercises.all())),
        **(told | {"weekdays": tuple(program.weekdays)}),
    )


def _exercise(exercise: ProgramExercise) -> Exercise:
    words = json.dumps(exercise.words, sort_keys=True) if exercise.words else ""
    return Exercise(
        card=exercise.card,
        name=plain(say(exercise.of_card.name)),
        dose=plain(say(exercise.dose.headline())),
        **(_taken(exercise, DOSE_FACTS) | {"words": words}),
    )


def _booking(booking: Appointment) -> Booking:
    told = _taken(booking, (*BOOKING_FACTS, "starts_at", "ends_at", "status", "cancel_reason"))
    return Booking(practitioner=_author(booking.practitioner), **told)
