"""One case with everything in it, without a database."""

import datetime

from cases.clinical.sides import Side
from rehab.clinical.exercises import CARDS
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
    Trial,
    VisitRecord,
)

INES = Author(given="Ines", family="Quill", registration="PH 4711")
RUTH = Author(given="Ruth", family="Marlow")


def at(day, hour=9):
    return datetime.datetime(2026, 3, day, hour, tzinfo=datetime.UTC)


def grip(side, effort, position, *forces_n, struck=""):
    trials = [
        Trial(number=number, force_n=force_n) for number, force_n in enumerate(forces_n, start=1)
    ]
    if struck:
        trials.append(Trial(number=len(trials) + 1, force_n=20, struck=struck))
    return Grip(side=side, effort=effort, position=position, unit="kgf", trials=tuple(trials))


VISIT = VisitRecord(
    on=datetime.date(2026, 3, 2),
    practitioner=INES,
    signed_by=INES,
    signed_at=at(2, 10),
    signed_name="Ines Quill",
    signed_registration="PH 4711",
    subjective="Worse after planing < two days.",
    plan="Isometric holds & advice.",
    minutes=45,
    pains=(("at_rest", 2), ("worst_24h", 7)),
    grips=(
        grip("right", "pain_free", "straight", 98.0665, 107.87315, 88.25985, struck="past_pain"),
        grip("left", "pain_free", "straight", 294.1995, 304.00615, 284.39285),
        grip("right", "maximal", "bent", 250),
    ),
    forms=(Form(instrument="prtee", items=(5, 4, None, *(3 for _item in range(12)))),),
    activities=((1, 4),),
    global_rating=-1,
    time_off_work=2,
    battery=Round(
        performed_on=datetime.date(2026, 3, 2),
        performed_by="clinician",
        resting_pain=2,
        findings=(
            Finding(test="wrist-extension", side="left", answer="none"),
            Finding(
                test="wrist-extension", side="right", answer="familiar", pain=6, strength="weak"
            ),
            Finding(test="finger-extension", side="right", finger=3, answer="familiar", pain=5),
            Finding(test="supination", side="right", answer="not done", why_not_done="Too sore."),
        ),
        points=(Pressed(point="epicondyle", side="right", pain=7),),
    ),
    values=(("grip_ratio", 1 / 3), ("prtee", 33.5)),
    added=(Added(text="Left arm too.", reason="Forgotten.", author=RUTH, at=at(3)),),
)
PROGRAM = ProgramRecord(
    version=1,
    stage=1,
    stage_since=datetime.date(2026, 3, 2),
    policy="strict",
    load_since=datetime.date(2026, 3, 2),
    edition="2026-11-01",
    issued_at=at(2, 10),
    issued_by=INES,
    load_kg=1.5,
    weekdays=(0, 2, 4),
    exercises=(
        Exercise(
            position=1,
            card=CARDS[0].code,
            name=CARDS[0].name,
            dose="5 × 45 s, 1.5 kg",
            sets=5,
            hold_s=45,
            load_kg=1.5,
            days_per_week=7,
        ),
    ),
)
CASE = CaseRecord(
    patient=Person(
        given="Ada",
        family="Example",
        born=datetime.date(1979, 5, 4),
        sex="female",
        handedness="right",
        phone="+44 1632 960100",
    ),
    side=Side.RIGHT,
    onset=datetime.date(2026, 1, 10),
    opened=datetime.date(2026, 3, 2),
    lead=INES,
    activities=(Activity(position=1, name="Planing boards"),),
    visits=(VISIT,),
    programs=(PROGRAM,),
    diary=(
        DiaryDay(
            on=datetime.date(2026, 3, 3),
            version=1,
            sets_done=5,
            load_kg=1.5,
            hold_s=45,
            worst_pain=3,
            next_morning_pain=2,
            remark="In the boat shed.",
        ),
    ),
    bookings=(
        Booking(starts_at=at(2), ends_at=at(2, 10), practitioner=INES, kind="first", status="seen"),
    ),
)
