"""The arm as it is today: everything the decision needs, and what the diary says about it."""

from dataclasses import dataclass
from datetime import date, timedelta

from clinic.wording import Sentence

from .sessions import (
    JUDGED_DAYS,
    Adherence,
    DiaryDay,
    Reading,
    SessionState,
    Week,
    adherence,
    baseline,
    new_night_waking,
    session_state,
    sorted_days,
    week,
)
from .stages import Policy, Stage
from .thresholds import Limits


@dataclass(frozen=True, kw_only=True)
class ArmToday:
    """One arm on one day. None means not measured or not known; it never counts as fulfilled.

    Loads in kg, grip in newtons (pain-free, elbow straight, mean of three), pain 0–10, PRTEE 0–100.
    `days_since_load_step` counts from the last change of load in either direction. `owned_kg` are the
    loads that the patient can make for the main exercise; where that is not recorded,
    `smallest_step_kg` stands for it.
    `usual_night_wakings` are wakings a night that the patient had before the program.
    `other_side_sore` is true when the other side is sore or weak too: the grip ratio is not valid
    then. `days_back` counts from a step back out of the stage above, None without one. `fast_work`:
    ball passes or flips are in the program. `return_steps_asked` is how many steps the return plan
    has; `return_is_lifting` tells graded lifting from the racket program. Raises ValueError for negative
    counts or a diary day after `today`.
    """

    age: int
    stage: Stage
    policy: Policy
    today: date
    days_in_stage: int
    weeks_in_care: int
    sessions_asked_per_week: int
    sets_asked: int
    diary: tuple[DiaryDay, ...] = ()
    repetitions_asked: int | None = None
    hold_s_asked: int | None = None
    load_kg: float | None = None
    start_load_kg: float | None = None
    days_since_load_step: int | None = None
    smallest_step_kg: float | None = None
    owned_kg: tuple[float, ...] | None = None
    rm_band: int | None = None
    days_back: int | None = None
    fast_work: bool = False
    job_is_light: bool = False
    red_flags: tuple[Sentence, ...] = ()
    usual_morning_pain: float | None = None
    usual_night_wakings: int | None = None
    grip_start_n: float | None = None
    grip_last_n: float | None = None
    grip_today_n: float | None = None
    grip_ratio: float | None = None
    other_side_sore: bool | None = None
    prtee_start: float | None = None
    prtee_last: float | None = None
    prtee_today: float | None = None
    rest_pain: int | None = None
    worst_pain_start: int | None = None
    worst_pain_today: int | None = None
    test_lift_pain: int | None = None
    return_steps_done: int | None = None
    return_steps_asked: int = 21
    return_is_lifting: bool = False
    own_goal_met: bool | None = None

    def __post_init__(self) -> None:
        counts = (self.age, self.days_in_stage, self.weeks_in_care, self.sets_asked)
        if min(*counts, self.sessions_asked_per_week) < 0:
            raise ValueError("age, days, weeks, sets and sessions must not be below 0")
        if any(day.on > self.today for day in self.diary):
            raise ValueError("a diary day lies after today")


Session = tuple[DiaryDay, Reading]


@dataclass(frozen=True, kw_only=True)
class Course:
    """What the diary says: every session, those of this stage, nights with new waking, the trend.

    Sessions are days with sets done, and days of rest that were too much. Today's session waits
    for tomorrow's morning, so it is left out unless it was too much already.
    """

    every: tuple[Session, ...]
    sessions: tuple[Session, ...]
    new_nights: tuple[date, ...]
    week: Week
    adherence: Adherence

    def since(self, first: date, state: SessionState) -> tuple[Session, ...]:
        """Return the sessions in a state from a day on."""
        return tuple(one for one in self.sessions if one[0].on >= first and one[1].state is state)


def course(arm: ArmToday, limits: Limits) -> Course:
    """Return what the diary says about this arm. Weeks and adherence look across stages."""
    days, stage_began = sorted_days(arm.diary), arm.today - timedelta(days=arm.days_in_stage)
    read = tuple((day, reading(arm, day, limits)) for day in days)
    every = tuple(one for one in read if _counts(one, arm.today))
    return Course(
        every=every,
        sessions=tuple(one for one in every if one[0].on >= stage_began),
        new_nights=tuple(
            day.on
            for day in days
            if day.on >= stage_began and new_night_waking(day, arm.usual_night_wakings)
        ),
        week=week(days, today=arm.today, limits=limits),
        adherence=adherence(
            days,
            asked_per_week=arm.sessions_asked_per_week,
            today=arm.today,
            window_days=min(JUDGED_DAYS, max(arm.days_in_stage, 7 * arm.weeks_in_care)),
        ),
    )


def reading(arm: ArmToday, day: DiaryDay, limits: Limits) -> Reading:
    """Return a diary day's reading under the arm's policy, against the mornings before it."""
    usual = baseline(arm.diary, before=day.on, limits=limits)
    return session_state(
        day,
        baseline=arm.usual_morning_pain if usual is None else usual,
        policy=arm.policy,
        usual_night_wakings=arm.usual_night_wakings,
        limits=limits,
    )


def _counts(one: Session, today: date) -> bool:
    day, found = one
    if found.state is SessionState.TOO_MUCH:
        return True
    waiting = day.on == today and found.state is SessionState.UNCLASSIFIED
    return day.trained and not waiting
