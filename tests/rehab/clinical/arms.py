"""Arms to decide about: each stage ready for its next step, to be spoiled one thing at a time."""

from datetime import date, timedelta

from rehab.clinical.arm import ArmToday
from rehab.clinical.ladder import Policy, Stage
from rehab.clinical.sessions import DiaryDay

TODAY = date(2026, 3, 12)


def diary_day(ago: int, **changes) -> DiaryDay:
    """A settled session some days ago: the full sets, worst pain 2, morning as always."""
    quiet = {
        "sets_done": 3, "last_set_repetitions": 15, "worst_pain": 2, "next_morning_pain": 1,
        "night_wakings": 0,
    }  # fmt: skip
    return DiaryDay(on=TODAY - timedelta(days=ago), **(quiet | changes))


def diary(days: int = 35, last: dict[int, dict] | None = None, **changes) -> tuple[DiaryDay, ...]:
    """A diary of daily sessions up to yesterday; `last` spoils days by how long ago they were."""
    spoiled = last or {}
    return tuple(diary_day(ago, **(changes | spoiled.get(ago, {}))) for ago in range(days, 0, -1))


REST = {"sets_done": 0, "last_set_repetitions": None, "worst_pain": None}
# Two repetitions over those asked, each day.
SPARE = diary(last_set_repetitions=17)


def arm(**changes) -> ArmToday:
    """An arm in stage 2 whose criteria for stage 3 all hold, but for `changes`."""
    ready = {
        "age": 45, "stage": Stage.LIGHT_ISOTONIC, "policy": Policy.STANDARD, "today": TODAY,
        "days_in_stage": 28, "weeks_in_care": 5, "sessions_asked_per_week": 7, "sets_asked": 3,
        "repetitions_asked": 15, "diary": diary(), "load_kg": 1.3, "start_load_kg": 1.0,
        "days_since_load_step": 8, "smallest_step_kg": 0.1, "usual_morning_pain": 1.0,
        "usual_night_wakings": 0, "grip_start_n": 150.0, "grip_last_n": 150.0,
        "grip_today_n": 160.0, "grip_ratio": 0.95, "other_side_sore": False, "prtee_start": 45.0,
        "prtee_last": 40.0, "prtee_today": 28.0, "rest_pain": 0, "worst_pain_start": 6,
        "worst_pain_today": 3, "test_lift_pain": 1,
    }  # fmt: skip
    return ArmToday(**(ready | changes))


def holding_arm(**changes) -> ArmToday:
    """An arm in stage 1 whose criteria for stage 2 all hold."""
    ready = {
        "stage": Stage.ISOMETRIC, "policy": Policy.STRICT, "days_in_stage": 7, "weeks_in_care": 1,
        "sets_asked": 5, "repetitions_asked": None, "hold_s_asked": 45, "load_kg": None,
        "diary": diary(7, sets_done=5, last_set_repetitions=None, hold_s=45),
    }  # fmt: skip
    return arm(**(ready | changes))


def slow_arm(**changes) -> ArmToday:
    """An arm in stage 3 whose criteria for stage 4 all hold."""
    ready = {
        "stage": Stage.SLOW_RESISTANCE, "repetitions_asked": 12, "rm_band": 12, "load_kg": 3.0,
        "diary": diary(last_set_repetitions=12),
    }  # fmt: skip
    return arm(**(ready | changes))


def heavy_arm(**changes) -> ArmToday:
    """An arm in stage 4 whose criteria for stage 5 all hold."""
    ready = {
        "stage": Stage.HEAVY_AND_FAST, "repetitions_asked": 6, "rm_band": 6, "load_kg": 5.0,
        "sets_asked": 4, "diary": diary(sets_done=4, last_set_repetitions=6),
    }  # fmt: skip
    return arm(**(ready | changes))


def returning_arm(**changes) -> ArmToday:
    """An arm in stage 5 whose criteria for discharge all hold."""
    ready = {
        "stage": Stage.RETURN_TO_ACTIVITY, "return_steps_done": 21, "prtee_today": 12.0,
        "repetitions_asked": None,
    }  # fmt: skip
    return arm(**(ready | changes))


READY = {1: holding_arm, 2: arm, 3: slow_arm, 4: heavy_arm, 5: returning_arm}
