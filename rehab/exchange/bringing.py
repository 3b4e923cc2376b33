"""A `CaseRecord` of another clinic into this one: the same case, told by those who told it there.

Who wrote it keeps their name as a closed account, which nobody can sign in with: a note is never put under
the name of whoever brings it in. What was signed is sealed as it was signed. Consent to e-mail, bookings
that still stand and drafts stay where they are.
"""

import json
import uuid
from collections.abc import Callable
from dataclasses import asdict
from typing import TypeVar

from django.core.exceptions import ValidationError
from django.db import DatabaseError, models, transaction

from assessments.course import values_of
from assessments.models import (
    ActivityRating,
    GripTest,
    GripTrial,
    MeasuredValue,
    PainRating,
    QuestionnaireResponse,
)
from assessments.models.own import SINGLE
from cases.models import (
    Activity,
    Addendum,
    Appointment,
    Battery,
    Case,
    Finding,
    PalpationPoint,
    Patient,
    Visit,
)
from clinic.models import Staff
from clinic.roles import Role
from clinic.wording import Sentence, say
from rehab.models import DiaryDay, Program, ProgramExercise
from rehab.models.issued_words import card_of

from .battery import ROUND_FACTS
from .observations import GRIP_FACTS, NOTES
from .plan import BOOKING_FACTS, DOSE_FACTS, PROGRAM_FACTS
from .record import (
    Added,
    Author,
    Booking,
    CaseRecord,
    Exercise,
    Person,
    ProgramRecord,
    Round,
    VisitRecord,
)

Row = TypeVar("Row", bound=models.Model)
ELSEWHERE = uuid.UUID("c3a1f0de-9a58-4e0b-8d39-5c2f6b7c0a11")
OVER = ("seen", "missed", "cancelled")


class Refused(Exception):
    """The case can't be brought in; `told` is a sentence."""

    def __init__(self, told: Sentence) -> None:
        super().__init__(told)
        self.told = told


def bring_in(record: CaseRecord, *, by: Staff, patient: Patient | None = None) -> Case:
    """Write the case under a new patient, or under one who is here already; `by` leads it from now on.

    All of it or nothing. Raises Refused where a rule of this record is broken.
    """
    try:
        with transaction.atomic():
            return _Bringing(by).case(record, patient)
    except ValidationError as error:
        raise Refused(say("The case breaks a rule: %(rule)s", rule=_rules(error))) from error
    except (DatabaseError, TypeError, KeyError, ValueError) as error:
        told = say("The case breaks a rule of the record (%(kind)s).", kind=type(error).__name__)
        raise Refused(told) from error


def _rules(error: ValidationError) -> str:
    told = getattr(error, "message_dict", {"": error.messages})
    return "; ".join(f"{field}: {' '.join(texts)}" for field, texts in told.items())


class _Bringing:
    """One case on its way into the clinic of `by`."""

    def __init__(self, by: Staff) -> None:
        self.by, self.clinic = by, by.clinic
        self.accounts: dict[Author, Staff] = {}

    def keep(self, row: Row) -> Row:
        """Keep a row whose choices and lengths are allowed: SQLite itself would take any."""
        row.clinic = self.clinic
        _allowed(row)
        row.save(force_insert=True)
        return row

    def account(self, author: Author) -> Staff:
        if author not in self.accounts:
            self.accounts[author] = self._account(author)
        return self.accounts[author]

    def _account(self, author: Author) -> Staff:
        key = json.dumps([self.clinic.pk, *asdict(author).values()])
        username = f"elsewhere-{uuid.uuid5(ELSEWHERE, key)}"
        known = Staff.objects.ever_of(self.clinic).called(username)
        return known or self._closed(author, username)

    def _closed(self, author: Author, username: str) -> Staff:
        staff = Staff(
            clinic=self.clinic,
            username=username,
            first_name=author.given,
            last_name=author.family,
            registration_number=author.registration,
            role=Role.PHYSIOTHERAPIST.value,
            is_active=False,
        )
        staff.set_unusable_password()
        _allowed(staff)
        staff.save()
        return staff

    def case(self, record: CaseRecord, patient: Patient | None) -> Case:
        case = self.keep(
            Case(
                patient=patient or self.patient(record.patient),
                side=record.side.value,
                lead=self.by,
                **_same(
                    record, "onset", "opened", "status", "closed", "discharge_reason", "due_on"
                ),
            )
        )
        self.parts(case, record)
        return case

    def parts(self, case: Case, record: CaseRecord) -> None:
        activities = {
            one.position: self.keep(Activity(case=case, **asdict(one))) for one in record.activities
        }
        for visit in record.visits:
            self.visit(case, visit, activities)
        programs = {one.version: self.program(case, one) for one in record.programs}
        for day in record.diary:
            columns = asdict(day)
            self.keep(DiaryDay(case=case, program=programs[columns.pop("version")], **columns))
        for booking in record.bookings:
            self.booking(case, booking)

    def patient(self, person: Person) -> Patient:
        """Register the person; whether they agree to e-mail is asked here anew."""
        patient = Patient(
            clinic=self.clinic,
            given_name=person.given,
            family_name=person.family,
            **_same(person, "born", "sex", "handedness", "phone", "email", "language"),
        )
        _allowed(patient, but=("record_number", "search_name"))
        patient.register(self.clinic)
        return patient

    def visit(self, case: Case, told: VisitRecord, activities: dict[int, Activity]) -> None:
        """Write the visit as a draft, with all that it holds, and then seal it as it was signed."""
        visit = self.keep(
            Visit(
                case=case,
                practitioner=self.account(told.practitioner),
                **_same(told, "on", "minutes", "due_on", *NOTES),
            )
        )
        self.measures(visit, told, activities)
        visit.signed_by = self.account(told.signed_by)
        signed = ("signed_at", "signed_name", "signed_registration")
        for name in signed:
            setattr(visit, name, getattr(told, name))
        _allowed(visit)
        visit.save(update_fields=["signed_by", *signed])
        for added in told.added:
            self.addendum(visit, added)

    def addendum(self, visit: Visit, told: Added) -> None:
        """Saved raw, as it came: a plain save would note now as the moment it was written."""
        who = {"written_by": self.account(told.author), "written_at": told.at}
        row = Addendum(visit=visit, clinic=self.clinic, text=told.text, reason=told.reason, **who)
        _allowed(row)
        row.save_base(raw=True, force_insert=True)

    def measures(self, visit: Visit, told: VisitRecord, activities: dict[int, Activity]) -> None:
        for context, value in told.pains:
            self.keep(PainRating(visit=visit, context=context, value=value))
        for grip in told.grips:
            test = self.keep(GripTest(visit=visit, **_same(grip, *GRIP_FACTS)))
            for trial in grip.trials:
                self.keep(GripTrial(grip_test=test, **asdict(trial)))
        for form in told.forms:
            row = {"instrument": form.instrument, "items": list(form.items)}
            self.keep(QuestionnaireResponse(visit=visit, **row))
        for position, value in told.activities:
            self.keep(ActivityRating(visit=visit, activity=activities[position], value=value))
        if told.battery:
            self.round(visit, told.battery)
        for name, model in SINGLE.items():
            self.single(model, visit, getattr(told, name))
        MeasuredValue.objects.write(visit, values_of(visit))

    def round(self, visit: Visit, told: Round) -> None:
        battery = self.keep(Battery(visit=visit, **_same(told, *ROUND_FACTS)))
        for found in told.findings:
            self.keep(Finding(battery=battery, **asdict(found))).given()
        for point in told.points:
            self.keep(PalpationPoint(battery=battery, **asdict(point))).given()

    def single(self, model: Callable[..., Row], visit: Visit, value: int | None) -> None:
        if value is not None:
            self.keep(model(visit=visit, value=value))

    def program(self, case: Case, told: ProgramRecord) -> Program:
        issued = {"issued_at": told.issued_at, "issued_by": self.account(told.issued_by)}
        ended = ("ended_at", "withdrawn_because")
        columns = _same(told, *PROGRAM_FACTS, "remark") | {"weekdays": _days(told.weekdays)}
        program = self.keep(
            Program(case=case, **{name: columns[name] for name in columns if name not in ended})
        )
        for exercise in told.exercises:
            self.exercise(program, exercise)
        for name, value in (issued | _same(told, *ended)).items():
            setattr(program, name, value)
        _allowed(program)
        program.save(update_fields=[*issued, *ended])
        return program

    def exercise(self, program: Program, told: Exercise) -> None:
        """An exercise brings the words it was issued with; without them its card must be known here."""
        words = json.loads(told.words) if told.words else None
        columns = _same(told, *DOSE_FACTS, "card") | {"words": words}
        row = self.keep(ProgramExercise(program=program, **columns))
        if words is not None:
            card_of(words)
        row.of_card  # noqa: B018  raises for a card that nobody here knows

    def booking(self, case: Case, told: Booking) -> None:
        """What is over is history; what still stands is booked there and not here."""
        if told.status not in OVER:
            return
        columns = _same(told, *BOOKING_FACTS, "starts_at", "ends_at", "status", "cancel_reason")
        who = {"patient": case.patient, "practitioner": self.account(told.practitioner)}
        self.keep(Appointment(case=case, **who, **columns))


def _allowed(row: models.Model, *, but: tuple[str, ...] = ()) -> None:
    """Raises ValidationError for a value that no form would take, ValueError for what no database keeps."""
    row.clean_fields(exclude=but)
    texts = (getattr(row, field.attname) for field in row._meta.concrete_fields)
    if any(isinstance(text, str) and "\x00" in text for text in texts):
        raise ValueError("a text holds a sign that is none")


def _same(told: object, *names: str) -> dict[str, object]:
    """The columns that are called as in the record."""
    return {name: getattr(told, name) for name in names}


def _days(weekdays: tuple[int, ...]) -> list[int]:
    if not set(weekdays) <= set(range(7)):
        raise ValueError("a week has 7 days")
    return list(weekdays)
