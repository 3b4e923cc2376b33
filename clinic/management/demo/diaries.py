"""How the days at home went: diary days by pattern."""

import datetime
from collections.abc import Iterator

from rehab.clinical.stages import Policy
from rehab.models import DiaryDay, Program

WEEK_OF = {  # weekdays on which a program of so many days a week is done
    7: (0, 1, 2, 3, 4, 5, 6),
    3: (0, 2, 4),
    2: (1, 4),
}
# Pain that a session of this policy brings without harm, in turn; both settle.
QUIET = {Policy.STRICT: (2, 1, 1, 2), Policy.STANDARD: (2, 3, 2, 1)}
ONE_TO_WATCH = {Policy.STRICT: (2, 2), Policy.STANDARD: (4, 2)}  # worst pain, morning after
TOO_MUCH = {Policy.STRICT: (4, 3), Policy.STANDARD: (7, 3)}
USUAL_MORNING = 1


def write(program: Program, pattern: str, *, first: datetime.date, last: datetime.date) -> None:
    """Write the diary from `first` to `last`, both included, as `pattern` says it went."""
    DiaryDay.objects.bulk_create(_days(program, pattern, first, last))


def _days(program, pattern, first, last) -> Iterator[DiaryDay]:
    main, sessions_left = program.main, 0
    training = training_days(main.days_per_week, first, last)
    for on in dates(first, last):
        trains = on in training
        sessions_left = sum(day >= on for day in training)
        if pattern == "few" and sessions_left % 3:
            continue
        day = DiaryDay(
            clinic_id=program.clinic_id,
            case_id=program.case_id,
            program=program,
            on=on,
            sets_done=main.sets if trains else 0,
            next_morning_pain=USUAL_MORNING,
            night_wakings=0,
        )
        if trains:
            _fill_session(day, program, sessions_left, spare=pattern == "spare")
        _upset(day, program, pattern, sessions_left, trains=trains)
        yield day


def dates(first: datetime.date, last: datetime.date) -> list[datetime.date]:
    return [first + datetime.timedelta(days=n) for n in range((last - first).days + 1)]


def training_days(a_week: int, first: datetime.date, last: datetime.date) -> list[datetime.date]:
    return [on for on in dates(first, last) if on.weekday() in WEEK_OF[a_week]]


def _fill_session(day: DiaryDay, program: Program, left: int, *, spare: bool) -> None:
    main = program.main
    quiet = QUIET[program.rule]
    day.worst_pain = quiet[left % len(quiet)]
    day.load_kg, day.hold_s = main.load_kg, main.hold_s
    if main.repetitions:
        day.last_set_repetitions = main.repetitions + (2 if spare and left <= 4 else 0)


def _upset(day: DiaryDay, program: Program, pattern: str, left: int, *, trains: bool) -> None:
    """Spoil what the pattern spoils; `left` counts the sessions from this one to the last."""
    watch, much = ONE_TO_WATCH[program.rule], TOO_MUCH[program.rule]
    spoiled = {
        "watch": {1: watch},
        "often watch": {1: watch, 2: watch, 3: watch},
        "too much": {2: much},
        "setback": {1: much, 2: much},
    }.get(pattern, {})
    if trains and left in spoiled:
        day.worst_pain, day.next_morning_pain = spoiled[left]
    if trains and pattern == "setback" and left in (1, 2):
        day.night_wakings = 2
