"""Cases as they could be, without a database: whatever a form takes, put together at random."""

import datetime
import json
import uuid

from hypothesis import strategies as st

from assessments.clinical.force import Unit
from assessments.clinical.pain import Context
from assessments.clinical.protocol import WAYS, Struck
from cases.clinical.battery import BY_CODE
from cases.clinical.palpation import POINT
from cases.clinical.sides import Side
from rehab.clinical.codes import DiagnosisCodes
from rehab.exchange.observations import SCORED
from rehab.exchange.record import (
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
from rehab.exchange.texts import plain

MAYBE = st.booleans()
DAYS = st.dates(datetime.date(2000, 1, 1), datetime.date(2099, 12, 31))
MOMENTS = st.datetimes(
    datetime.datetime(2000, 1, 1),
    datetime.datetime(2099, 12, 31),
    timezones=st.just(datetime.UTC),
)
TYPED = st.text(max_size=40).map(plain)
WRITTEN = st.text(min_size=1, max_size=20).map(plain).filter(bool)
POINTS = st.integers(0, 10)
KILOGRAMS = st.integers(0, 5000).map(lambda grams: grams / 100)
AUTHORS = st.builds(Author, given=TYPED, family=WRITTEN, registration=TYPED)


def maybe(values):
    return st.none() | values


def each(values, *, most=3, by=None):
    return st.lists(values, max_size=most, unique_by=by).map(tuple)


PEOPLE = st.builds(
    Person,
    given=WRITTEN,
    family=WRITTEN,
    born=st.dates(datetime.date(1900, 1, 1), datetime.date(2026, 1, 1)),
    sex=st.sampled_from(["female", "male", "unstated"]),
    handedness=st.sampled_from(["right", "left", "both", "unset"]),
    phone=TYPED,
    email=TYPED,
    language=st.sampled_from(["en", "es"]),
)
TRIALS = st.builds(
    Trial,
    number=st.integers(1, 6),
    force_n=st.floats(0, 1000, allow_subnormal=False).map(lambda force: round(force, 6)),
    struck=st.sampled_from(["", *(why.value for why in Struck)]),
)
GRIPS = st.builds(
    lambda way, **more: Grip(position=way.position.value, effort=way.effort.value, **more),
    way=st.sampled_from(WAYS),
    side=st.sampled_from(["right", "left"]),
    unit=st.sampled_from([unit.value for unit in Unit]),
    trials=each(TRIALS, by=lambda trial: trial.number).filter(bool),
)
FORMS = st.builds(
    Form,
    instrument=st.just("prtee"),
    items=st.lists(maybe(POINTS), min_size=15, max_size=15).filter(any).map(tuple),
)
FINDINGS = st.builds(
    Finding,
    test=st.sampled_from(list(BY_CODE)),
    side=st.sampled_from(["right", "left"]),
    answer=st.sampled_from(["none", "familiar", "other", "not done"]),
    finger=maybe(st.integers(2, 5)),
    pain=maybe(POINTS),
    where=TYPED,
    why_not_done=WRITTEN,
    strength=st.sampled_from(["", "normal", "weak", "absent"]),
    tingling=MAYBE,
    variant=st.just(""),
)
PRESSED = st.builds(
    Pressed,
    point=st.sampled_from(list(POINT)),
    side=st.sampled_from(["right", "left"]),
    pain=POINTS,
)
ROUNDS = st.builds(
    Round,
    performed_on=DAYS,
    performed_by=st.sampled_from(["clinician", "partner", "self"]),
    resting_pain=POINTS,
    despite=TYPED,
    findings=each(FINDINGS, by=lambda one: (one.test, one.side, one.finger)),
    points=each(PRESSED, by=lambda one: (one.point, one.side)),
)
ADDED = st.builds(Added, text=WRITTEN, reason=TYPED, author=AUTHORS, at=MOMENTS)
VALUES = st.tuples(st.sampled_from(list(SCORED)), st.integers(0, 10_000).map(lambda n: n / 97))


def visits(activities):
    rated = st.tuples(st.sampled_from([one.position for one in activities] or [0]), POINTS)
    return st.builds(
        VisitRecord,
        on=DAYS,
        practitioner=AUTHORS,
        signed_by=AUTHORS,
        signed_at=MOMENTS,
        signed_name=WRITTEN,
        signed_registration=TYPED,
        subjective=TYPED,
        objective=TYPED,
        assessment=TYPED,
        treatment=TYPED,
        plan=TYPED,
        minutes=maybe(st.integers(1, 240)),
        due_on=maybe(DAYS),
        pains=each(
            st.tuples(st.sampled_from([c.value for c in Context]), POINTS), by=lambda one: one[0]
        ),
        grips=each(GRIPS, by=lambda grip: (grip.side, grip.position, grip.effort)),
        forms=each(FORMS, most=1),
        activities=each(rated, by=lambda one: one[0]) if activities else st.just(()),
        global_rating=maybe(st.integers(-5, 5)),
        time_off_work=maybe(st.integers(0, 366)),
        values=each(VALUES, by=lambda one: one[0]),
        battery=maybe(ROUNDS),
        added=each(ADDED, most=2),
    )


EXERCISES = st.builds(
    Exercise,
    position=st.integers(1, 9),
    card=st.sampled_from(["isometric-extension", "own-7"]),
    name=WRITTEN,
    dose=WRITTEN,
    sets=st.integers(1, 10),
    days_per_week=st.integers(1, 7),
    sessions_per_day=st.integers(1, 4),
    repetitions=maybe(st.integers(1, 100)),
    hold_s=maybe(st.integers(1, 300)),
    load_kg=maybe(KILOGRAMS),
    rest_s=maybe(st.integers(1, 300)),
    remark=TYPED,
    words=st.just("") | st.builds(lambda text: json.dumps({"start": text}), TYPED),
)


def program(*, issued_at, days, **more):
    """Nothing ends before it was issued."""
    ended_at = None if days is None else issued_at + datetime.timedelta(days=days)
    return ProgramRecord(issued_at=issued_at, ended_at=ended_at, **more)


PROGRAMS = st.builds(
    program,
    version=st.integers(1, 99),
    stage=st.integers(1, 5),
    stage_since=DAYS,
    policy=st.sampled_from(["strict", "standard"]),
    load_since=DAYS,
    edition=st.just("2026-11-01"),
    issued_at=MOMENTS,
    issued_by=AUTHORS,
    smallest_step_kg=KILOGRAMS,
    load_kg=maybe(KILOGRAMS),
    start_load_kg=maybe(KILOGRAMS),
    weekdays=each(st.integers(0, 6), most=7),
    remark=TYPED,
    return_plan=st.sampled_from(["", "racket", "lifting"]),
    job_load_kg=maybe(KILOGRAMS),
    return_step=maybe(st.integers(1, 20)),
    more_because=TYPED,
    days=maybe(st.integers(0, 900)),
    withdrawn_because=TYPED,
    exercises=each(EXERCISES, by=lambda one: one.position),
)


def diaries(programs):
    """Days under the versions that there are."""
    if not programs:
        return st.just(())
    day = st.builds(
        DiaryDay,
        on=DAYS,
        version=st.sampled_from([one.version for one in programs]),
        sets_done=st.integers(0, 20),
        last_set_repetitions=maybe(st.integers(0, 100)),
        load_kg=maybe(KILOGRAMS),
        hold_s=maybe(st.integers(0, 300)),
        worst_pain=maybe(POINTS),
        next_morning_pain=maybe(POINTS),
        night_wakings=maybe(st.integers(0, 20)),
        sharp_or_locking=MAYBE,
        remark=TYPED,
    )
    return each(day, by=lambda one: one.on)


def booking(*, start, minutes, status, reason, **more):
    """Only a visit that was cancelled has a reason for that."""
    return Booking(
        starts_at=start,
        ends_at=start + datetime.timedelta(minutes=minutes),
        status=status,
        cancel_reason=reason if status == "cancelled" else "",
        **more,
    )


BOOKINGS = st.builds(
    booking,
    start=MOMENTS,
    minutes=st.integers(5, 240),
    practitioner=AUTHORS,
    kind=st.sampled_from(["first", "follow-up", "review", "discharge"]),
    status=st.sampled_from(["booked", "arrived", "seen", "missed", "cancelled"]),
    arrived_at=maybe(MOMENTS),
    cancelled_at=maybe(MOMENTS),
    reason=TYPED,
    sequence=st.integers(0, 9),
)


@st.composite
def cases(draw):
    activities = draw(
        each(
            st.builds(Activity, position=st.integers(1, 5), name=WRITTEN),
            by=lambda one: one.position,
        )
    )
    programs = draw(each(PROGRAMS, most=2, by=lambda program: program.version))
    return draw(
        st.builds(
            CaseRecord,
            patient=PEOPLE,
            side=st.sampled_from(list(Side)),
            onset=DAYS,
            opened=DAYS,
            lead=AUTHORS,
            status=st.sampled_from(["open", "discharged", "declined"]),
            closed=maybe(DAYS),
            discharge_reason=TYPED,
            due_on=maybe(DAYS),
            activities=st.just(activities),
            visits=each(visits(activities), by=lambda visit: (visit.on, visit.signed_at)),
            programs=st.just(programs),
            diary=diaries(programs),
            bookings=each(BOOKINGS, most=2),
        )
    )


SOURCES = st.builds(
    Source,
    space=st.uuids(version=4),
    clinic_space=st.uuids(version=4),
    clinic=WRITTEN,
    address=TYPED,
    phone=TYPED,
    record=st.integers(1, 10**6).map(str),
    made_at=MOMENTS,
    diagnosis_codes=st.sampled_from(list(DiagnosisCodes)),
    snomed=MAYBE,
)
SOMEWHERE = Source(
    space=uuid.UUID("8a4d2b1e-64a1-4a54-9ea6-0f1a1d6f2c33"),
    clinic_space=uuid.UUID("0b7c1d52-5f5e-4a8e-9f0b-4d8f7b0f5a10"),
    clinic="Harbor Physiotherapy",
    address="1 Quay Street",
    phone="+44 1632 960100",
    record="00012",
    made_at=datetime.datetime(2026, 3, 9, 8, 30, tzinfo=datetime.UTC),
)
