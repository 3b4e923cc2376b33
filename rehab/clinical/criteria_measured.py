"""Criteria that a measurement answers: pain, load, grip, PRTEE, steps of the return plan.

No published elbow program gates its stages on a grip ratio; see the status of each row.
"""

from dataclasses import replace

from clinic.evidence import Status
from clinic.wording import Sentence, gettext_noop, say

from .arm import ArmToday, Course
from .criterion import NOT_MEASURED, Criterion, any_of, stage_criterion
from .thresholds import DEFAULTS, NO_SOURCE, Limits, Threshold


def grip_change_is_real(before_n: float, after_n: float, *, limits: Limits = DEFAULTS) -> bool:
    """Return whether two grips in newtons, on two days, differ by more than their error (Hill
    2023)."""
    return abs(after_n - before_n) > limits["grip_change_n"].value


def calm_at_rest(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Pain at rest 2 or less (convention)."""
    return _pain_at_most(say("Pain at rest"), arm.rest_pain, limits["rest_pain"])


def calm_in_test_lift(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Pain 2 or less in the test lift of the job or sport (convention)."""
    return _pain_at_most(say("Test lift"), arm.test_lift_pain, limits["test_lift_pain"])


def _pain_at_most(words: Sentence, pain: int | None, row: Threshold) -> Criterion:
    return stage_criterion(
        words,
        None if pain is None else pain <= row.value,
        NOT_MEASURED if pain is None else say("Pain %(pain)s of 10.", pain=pain),
        say("%(pain)s or less", pain=int(row.value)),
        row,
        None if pain is None else say("%(points)s points to go", points=int(pain - row.value)),
    )


def load_gained(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """The load is 0.3 kg above the start of stage 2 (convention: three weeks of 0.1 kg)."""
    row = limits["load_gain_kg"]
    gain = None
    if arm.load_kg is not None and arm.start_load_kg is not None:
        gain = round(arm.load_kg - arm.start_load_kg, 6)
    short = None if gain is None else round(row.value - gain, 6)
    return stage_criterion(
        say("Load added"),
        None if short is None else short <= 0,
        NOT_MEASURED if gain is None else say("%(kg)s kg above the start.", kg=f"{gain:g}"),
        say("%(kg)s kg or more", kg=f"{row.value:g}"),
        row,
        None if short is None else say("%(kg)s kg to go", kg=f"{short:g}"),
    )


def function_not_worse(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """PRTEE is not higher than last time, or than at the start when there is no last time."""
    before = arm.prtee_start if arm.prtee_last is None else arm.prtee_last
    row, held, found = limits["prtee_rise"], None, NOT_MEASURED
    if before is not None and arm.prtee_today is not None:
        held = arm.prtee_today - before <= row.value
        found = say(
            "PRTEE %(now)s, before %(before)s.", now=f"{arm.prtee_today:g}", before=f"{before:g}"
        )
    return stage_criterion(
        say("PRTEE not worse"),
        held,
        found,
        say("Not higher than before"),
        row,
    )


def grip_not_falling(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Pain-free grip has not fallen by more than its error, 92 N (Hill 2023)."""
    row = limits["grip_change_n"]
    before = arm.grip_start_n if arm.grip_last_n is None else arm.grip_last_n
    held, found = None, NOT_MEASURED
    if before is not None and arm.grip_today_n is not None:
        held = before - arm.grip_today_n <= row.value
        found = say(
            "%(now)s N, before %(before)s N.", now=f"{arm.grip_today_n:.0f}", before=f"{before:.0f}"
        )
    return stage_criterion(
        say("Pain-free grip not falling"),
        held,
        found,
        say("No fall of more than %(n)s N", n=int(row.value)),
        row,
    )


def ratio_for_heavy(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Grip ratio 0.80 or more (limb-symmetry habit; no elbow source)."""
    return _ratio(arm, limits["ratio_for_heavy"])


def ratio_for_return(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Grip ratio 0.90 or more (limb-symmetry habit; no elbow source)."""
    return _ratio(arm, limits["ratio_for_return"])


def _ratio(arm: ArmToday, row: Threshold) -> Criterion:
    short = None
    if arm.grip_ratio is not None and arm.other_side_sore is False:
        short = row.value - arm.grip_ratio
    return stage_criterion(
        say("Grip ratio"),
        None if short is None else round(short, 6) <= 0,
        _ratio_words(arm),
        say("%(ratio)s or more", ratio=f"{row.value:.2f}"),
        row,
        None if short is None else say("%(gap)s to go", gap=f"{short:.2f}"),
    )


def _ratio_words(arm: ArmToday) -> Sentence:
    if arm.other_side_sore:
        return say("The other side is sore or weak too: the ratio is not valid, you decide.")
    if arm.grip_ratio is None:
        return NOT_MEASURED
    if arm.other_side_sore is None:
        return say("Not known whether the other side is sore too: the ratio can't be used.")
    return say("%(ratio)s of the other side.", ratio=f"{arm.grip_ratio:.2f}")


def function_for_heavy(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """PRTEE 15 below the start (14.8: 2025, n=143), or 30 or less (convention)."""
    drop, low = limits["prtee_drop"], limits["prtee_for_heavy"]
    now, start = arm.prtee_today, arm.prtee_start
    held = any_of(
        None if now is None else now <= low.value,
        None if now is None or start is None else start - now >= drop.value,
    )
    return stage_criterion(
        say("PRTEE clearly better"),
        held,
        _prtee_words(arm),
        say(
            "%(drop)s below the start, or %(low)s or less",
            drop=int(drop.value),
            low=int(low.value),
        ),
        drop,
        None
        if now is None
        else say("%(points)s points to go", points=f"{_prtee_gap(arm, limits):g}"),
    )


def _prtee_gap(arm: ArmToday, limits: Limits) -> float:
    now = arm.prtee_today or 0
    to_low = now - limits["prtee_for_heavy"].value
    if arm.prtee_start is None:
        return round(to_low, 1)
    return round(min(to_low, now - arm.prtee_start + limits["prtee_drop"].value), 1)


def _prtee_words(arm: ArmToday) -> Sentence:
    if arm.prtee_today is None:
        return NOT_MEASURED
    if arm.prtee_start is None:
        return say("PRTEE %(now)s, not measured at the start.", now=f"{arm.prtee_today:g}")
    return say(
        "PRTEE %(now)s, %(start)s at the start.",
        now=f"{arm.prtee_today:g}",
        start=f"{arm.prtee_start:g}",
    )


def goal_for_discharge(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """PRTEE 20 or less, or the patient's own goal met (convention)."""
    row, now = limits["prtee_for_discharge"], arm.prtee_today
    return stage_criterion(
        say("PRTEE low, or own goal met"),
        any_of(None if now is None else now <= row.value, arm.own_goal_met),
        say("The patient's own goal is met.") if arm.own_goal_met else _prtee_words(arm),
        say("%(low)s or less, or own goal met", low=int(row.value)),
        row,
        None if now is None else say("%(points)s points to go", points=f"{now - row.value:g}"),
    )


def steps_done(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """All steps of the return plan are done (Myers 2016 for racket play; convention for lifting)."""
    done, asked = arm.return_steps_done, arm.return_steps_asked
    found = say("Not known.")
    if done is not None:
        found = say("%(done)s of %(asked)s steps.", done=done, asked=asked)
    return stage_criterion(
        say("Return plan done"),
        None if done is None else done >= asked,
        found,
        say("All steps"),
        _plan_row(arm, limits),
        None if done is None else say("%(steps)s steps to go", steps=asked - done),
    )


def _plan_row(arm: ArmToday, limits: Limits) -> Threshold:
    """The row of the plan that is done: the published one is about racket play only."""
    row = limits["return_steps"]
    if not arm.return_is_lifting:
        return row
    return replace(
        row,
        words=gettext_noop("Steps of graded lifting"),
        value=arm.return_steps_asked,
        source=NO_SOURCE,
        status=Status.CONVENTION,
        limits="",
    )
