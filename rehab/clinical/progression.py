"""The decision: what the rules propose for an arm today, and why.

Order of evaluation, first match wins: stop; too much (session or week); watch or hold; load; stage.
One change at a time, so a load step that is due comes before the next stage. The order and most
sizes are common practice; each criterion carries its row of `thresholds`.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from clinic.wording import Sentence, say

from .arm import ArmToday, Course, course
from .criteria import judge
from .criteria_back import is_back_for_days
from .criteria_measured import grip_change_is_real
from .criterion import Criterion, all_of
from .entry import too_young_words
from .load_change import Change, clearly_less, more, next_heavier, one_step_less
from .proposal import Decision, LoadStep, Proposal
from .reviewing import Message, MessageKind, messages
from .sessions import SessionState, WeekState
from .stages import Stage
from .thresholds import DEFAULTS, Limits

__all__ = [
    "ArmToday",
    "Criterion",
    "Decision",
    "LoadStep",
    "Message",
    "MessageKind",
    "Proposal",
    "grip_change_is_real",
    "propose",
]


@dataclass(frozen=True, kw_only=True)
class Judged:
    """The arm with everything that was worked out about it."""

    arm: ArmToday
    course: Course
    criteria: tuple[Criterion, ...]
    limits: Limits

    def held(self, about: str) -> bool | None:
        """Return whether all criteria about data, load or stage hold; None when some are
        unknown."""
        return all_of(row.held for row in self.criteria if row.about == about)


def propose(arm: ArmToday, *, limits: Limits = DEFAULTS) -> Proposal:
    """Return the proposal for an arm today, with reasons, criteria and messages.

    A missing value never counts as fulfilled: it leaves its criterion unknown, and an unknown
    criterion never adds load or moves a stage up.
    """
    stopped = _stop(arm, limits)
    if stopped:
        return replace(stopped, thresholds=_values(limits))
    found = course(arm, limits)
    judged = Judged(arm=arm, course=found, criteria=judge(arm, found, limits), limits=limits)
    proposal = next(answer for rule in RULES if (answer := rule(judged)))
    return replace(
        proposal,
        criteria=judged.criteria,
        messages=(*proposal.messages, *messages(arm, found, limits)),
        thresholds=_values(limits),
    )


def _values(limits: Limits) -> tuple[tuple[str, float], ...]:
    return tuple(sorted((code, row.value) for code, row in limits.items()))


def _stop(arm: ArmToday, limits: Limits) -> Proposal | None:
    """Under 18 nothing is offered; a sign that must be acted on outranks everything else."""
    if arm.age < limits["youngest"].value:
        return _stopped((too_young_words(arm.age, limits),), MessageKind.REFER)
    if arm.red_flags:
        return _stopped(arm.red_flags, MessageKind.URGENT)
    return None


def _stopped(reasons: tuple[Sentence, ...], kind: MessageKind) -> Proposal:
    words = say("Stop the program and act on this today.")
    if kind is MessageKind.REFER:
        words = say("The ladder is not offered at this age: refer.")
    return Proposal(
        decision=Decision.STOP_AND_REVIEW,
        load_step=LoadStep.KEEP,
        next_stage=None,
        reasons=reasons,
        messages=(Message(kind=kind, words=words),),
    )


def _stage_back(judged: Judged) -> Proposal | None:
    """Two sessions too much, or new waking on two nights, in 7 days: one stage back for 3–7
    days."""
    arm, found, since = judged.arm, judged.course, judged.arm.today - timedelta(days=7)
    reds = found.since(since, SessionState.TOO_MUCH)
    nights = [on for on in found.new_nights if on >= since]
    enough_reds = len(reds) >= judged.limits["reds_for_stage_back"].value
    enough_nights = len(nights) >= judged.limits["nights_for_stage_back"].value
    if arm.stage is Stage.ISOMETRIC or not (enough_reds or enough_nights):
        return None
    reasons: tuple[Sentence, ...] = ()
    if enough_reds:
        reasons += (say("%(count)s sessions were too much in 7 days.", count=len(reds)),)
    if enough_nights:
        reasons += (say("Newly woken on %(count)s nights in 7 days.", count=len(nights)),)
    words = say("One stage back for 3–7 days.")
    return Proposal(
        decision=Decision.STEP_BACK,
        load_step=LoadStep.REDUCE,
        next_stage=arm.stage.below,
        reasons=reasons,
        messages=(Message(kind=MessageKind.NEXT, words=words),),
    )


def _too_much(judged: Judged) -> Proposal | None:
    """One session too much that no change of load has answered yet, or a week that was."""
    reds = judged.course.since(_unanswered(judged.arm), SessionState.TOO_MUCH)
    week = judged.course.week
    if reds:
        reasons = reds[-1][1].reasons
    elif week.state is WeekState.TOO_MUCH:
        reasons = (week.reason,)
    else:
        return None
    return _stay(
        judged, LoadStep.REDUCE, reasons, clearly_less(judged.arm, judged.course, judged.limits)
    )


def _unanswered(arm: ArmToday) -> date:
    """The first day that counts: within 7 days, and not before the last change of load."""
    days = 7 if arm.days_since_load_step is None else min(7, arm.days_since_load_step)
    return arm.today - timedelta(days=days)


def _watch(judged: Judged) -> Proposal | None:
    """Sessions to watch repeat the same load; three in 7 days take one step off. So does no week
    up."""
    watched = judged.course.since(_unanswered(judged.arm), SessionState.WATCH)
    reasons: tuple[Sentence, ...]
    if len(watched) >= judged.limits["watch_for_step_down"].value:
        reasons = (say("%(count)s sessions to watch in 7 days.", count=len(watched)),)
        return _stay(judged, LoadStep.REDUCE, reasons, one_step_less(judged.arm, judged.limits))
    last = judged.course.sessions[-1:]
    if last and last[0][1].state is SessionState.WATCH:
        return _stay(judged, LoadStep.KEEP, (*last[0][1].reasons, say("Repeat the same load.")))
    if judged.course.week.state is WeekState.HOLD:
        reasons = (judged.course.week.reason, say("No increases this week."))
        return _stay(judged, LoadStep.KEEP, reasons)
    return None


def _guard(judged: Judged) -> Proposal | None:
    """Too few sessions done, or not known: neither up nor down for that alone."""
    if judged.held("data"):
        return None
    words = say("Not enough to judge: %(found)s", found=judged.criteria[0].found)
    return _stay(judged, LoadStep.KEEP, (words,))


def _add_load(judged: Judged) -> Proposal | None:
    """Nothing is added while the arm is a stage back for some days: then no criterion is about load."""
    if not judged.held("load") or is_back_for_days(judged.arm, judged.limits):
        return None
    change = more(judged.arm, judged.limits)
    if change is None:
        return None
    reasons = tuple(row.found for row in judged.criteria if row.about == "load")[:1]
    proposal = _stay(judged, LoadStep.ADD, reasons, change)
    return replace(proposal, messages=_ready(judged))


def _ready(judged: Judged) -> tuple[Message, ...]:
    if not judged.held("stage") or judged.arm.stage.above is None:
        return ()
    words = say("The criteria of the next stage hold as well; one change at a time.")
    return (Message(kind=MessageKind.NEXT, words=words),)


def _move_up(judged: Judged) -> Proposal | None:
    if not judged.held("stage"):
        return None
    above = judged.arm.stage.above
    if above is None:
        words = say("The criteria for discharge hold.")
        message = Message(kind=MessageKind.NEXT, words=words)
        return replace(_stay(judged, LoadStep.KEEP, (words,)), messages=(message,))
    reasons = (say("All criteria of stage %(stage)s hold.", stage=int(judged.arm.stage)),)
    if is_back_for_days(judged.arm, judged.limits):
        days = judged.arm.days_back or 0
        reasons = (say("Settled again after %(days)s days in the stage below.", days=days),)
    return Proposal(
        decision=Decision.MOVE_UP, load_step=LoadStep.KEEP, next_stage=above, reasons=reasons
    )


def _keep(judged: Judged) -> Proposal:
    """Nothing is due: say what is still open, and the way round equipment that is too coarse."""
    open_rows = [row for row in judged.criteria if row.about == "stage" and not row.held]
    reasons = tuple(row.found for row in judged.criteria if row.about == "load")[:1]
    reasons += (say("Criteria still open for the next stage: %(count)s.", count=len(open_rows)),)
    coarse = next_heavier(judged.arm, judged.limits)
    back = is_back_for_days(judged.arm, judged.limits)
    if not back and judged.held("load") and coarse is not None and not coarse.changed:
        reasons = (*reasons, coarse.words)
    return _stay(judged, LoadStep.KEEP, reasons)


def _stay(
    judged: Judged, load_step: LoadStep, reasons: tuple[Sentence, ...], change: Change = ({}, ())
) -> Proposal:
    arm, (fields, words) = judged.arm, change
    now: dict[str, Any] = {"next_load_kg": arm.load_kg, "next_hold_s": arm.hold_s_asked}
    return Proposal(
        decision=Decision.STAY,
        load_step=load_step,
        next_stage=arm.stage,
        reasons=(*reasons, *words),
        **(now | {"next_rm_band": arm.rm_band} | _known(fields)),
    )


def _known(fields: dict[str, Any]) -> dict[str, Any]:
    """Without the values that stay as they are."""
    return {name: value for name, value in fields.items() if value is not None}


# Read top to bottom: the first that answers decides. Stopping comes before all of them.
RULES: tuple[Callable[[Judged], Proposal | None], ...] = (
    _stage_back, _too_much, _watch, _guard, _add_load, _move_up, _keep,
)  # fmt: skip
