"""Which stage asks for which criteria; read top to bottom, one moves up one row at a time."""

from .arm import ArmToday, Course
from .criteria_back import back_long_enough, is_back_for_days, settled_since_back
from .criteria_diary import (
    clear_for_discharge,
    clear_for_return,
    enough_done,
    full_sets_running,
    holds_running,
    holds_to_spare,
    last_settled,
    least_time,
    over_target,
    quiet_nights,
    step_is_due,
    step_is_owned,
)
from .criteria_measured import (
    calm_at_rest,
    calm_in_test_lift,
    function_for_heavy,
    function_not_worse,
    goal_for_discharge,
    grip_not_falling,
    load_gained,
    ratio_for_heavy,
    ratio_for_return,
    steps_done,
)
from .criterion import Criterion, Rule
from .stages import Stage
from .thresholds import Limits

STAGE_RULES: dict[Stage, tuple[Rule, ...]] = {
    Stage.ISOMETRIC: (least_time, holds_running, quiet_nights, calm_at_rest),
    Stage.LIGHT_ISOTONIC: (
        least_time, full_sets_running, load_gained, function_not_worse, grip_not_falling,
    ),
    Stage.SLOW_RESISTANCE: (least_time, full_sets_running, ratio_for_heavy, function_for_heavy),
    Stage.HEAVY_AND_FAST: (
        least_time, full_sets_running, ratio_for_return, calm_in_test_lift, clear_for_return,
    ),
    Stage.RETURN_TO_ACTIVITY: (
        least_time, steps_done, goal_for_discharge, ratio_for_return, clear_for_discharge,
    ),
}  # fmt: skip

LOAD_RULES: dict[Stage, tuple[Rule, ...]] = {
    Stage.ISOMETRIC: (holds_to_spare,),
    Stage.LIGHT_ISOTONIC: (over_target, step_is_due, step_is_owned),
    Stage.SLOW_RESISTANCE: (over_target, step_is_owned),
    Stage.HEAVY_AND_FAST: (over_target, step_is_owned),
    Stage.RETURN_TO_ACTIVITY: (last_settled,),
}


# After a step back "for 3–7 days" nothing is added; the stage above is open again once it settles.
BACK_RULES: tuple[Rule, ...] = (back_long_enough, settled_since_back)


def judge(arm: ArmToday, course: Course, limits: Limits) -> tuple[Criterion, ...]:
    """Return every criterion of the arm's stage: data guard, load step, stage, in that order."""
    rules = (*LOAD_RULES[arm.stage], *STAGE_RULES[arm.stage])
    if is_back_for_days(arm, limits):
        rules = BACK_RULES
    return tuple(rule(arm, course, limits) for rule in (enough_done, *rules))
