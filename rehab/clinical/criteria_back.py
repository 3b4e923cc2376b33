"""After a step back: when the stage that was too much is open again.

One stage back "for 3–7 days" (common practice, no source): shorter is no rest, and an arm that has not
settled after that is in the stage below to stay, under its own criteria.
"""

from clinic.wording import say

from .arm import ArmToday, Course
from .criterion import Criterion, days_to_go, stage_criterion
from .sessions import SessionState
from .thresholds import Limits


def is_back_for_days(arm: ArmToday, limits: Limits) -> bool:
    """Return whether the arm is a stage back for some days only."""
    return arm.days_back is not None and arm.days_back <= limits["back_days_most"].value


def back_long_enough(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """At least 3 days in the stage below (convention)."""
    row, days = limits["back_days_least"], arm.days_back or 0
    return stage_criterion(
        say("Days in the stage below"),
        days >= row.value,
        say("%(days)s days.", days=days),
        say("%(days)s days or more", days=int(row.value)),
        row,
        days_to_go(row, days),
    )


def settled_since_back(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """The last two sessions since the step back settled (convention)."""
    row = limits["settled_running"]
    need = int(row.value)
    states = [reading.state for _, reading in course.sessions[-need:]]
    held: bool | None = states == [SessionState.SETTLED] * need
    if not held and SessionState.UNCLASSIFIED in states:
        held = None
    count = sum(state is SessionState.SETTLED for state in states)
    return stage_criterion(
        say("Settled since the step back"),
        held,
        say("%(count)s of the last %(need)s sessions settled.", count=count, need=need),
        say("%(need)s sessions running", need=need),
        row,
    )
