"""Criteria that the diary answers: how much was done and how the arm took it."""

from datetime import timedelta
from itertools import pairwise

from clinic.wording import Sentence, say

from .arm import ArmToday, Course, Session
from .criterion import Criterion, all_of, days_to_go, stage_criterion
from .sessions import Reading, SessionState
from .stages import Stage, stage_row
from .thresholds import Limits, Threshold


def enough_done(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """At least 70 % of the sessions of the last two weeks: below that nothing can be judged."""
    row, share = limits["adherence_share"], course.adherence.share
    found = say("No sessions were asked yet.")
    if share is not None:
        found = say(
            "%(done)s of %(asked)s sessions done (%(share)s %%).",
            done=course.adherence.done,
            asked=f"{course.adherence.asked:.0f}",
            share=f"{100 * share:.0f}",
        )
    return Criterion(
        about="data",
        words=say("Enough sessions done to judge"),
        held=None if share is None else round(share * 100, 6) >= row.value,
        found=found,
        gate=say("%(share)s %% or more", share=int(row.value)),
        figure=row,
    )


def _calm(reading: Reading) -> bool | None:
    """Whether a session settled, None where too little of it is known."""
    return {SessionState.SETTLED: True, SessionState.UNCLASSIFIED: None}.get(reading.state, False)


def _settled(one: Session, arm: ArmToday) -> bool | None:
    """Whether a session settled with all its sets at today's load."""
    day, reading = one
    heavy = True
    if day.load_kg is not None and arm.load_kg is not None:
        heavy = day.load_kg >= arm.load_kg - 1e-9
    return all_of((_calm(reading), day.sets_done >= arm.sets_asked, heavy))


def _repeated(one: Session, arm: ArmToday, over: int = 0) -> bool | None:
    """Whether a session settled with the repetitions asked, and `over` more, in its last set."""
    done, asked = one[0].last_set_repetitions, asked_repetitions(arm)
    enough = None if done is None or asked is None else done >= asked + over
    return all_of((_settled(one, arm), enough))


def _held_long(one: Session, arm: ArmToday, seconds: float | None) -> bool | None:
    """Whether a session settled with holds of so many seconds."""
    held = arm.hold_s_asked if one[0].hold_s is None else one[0].hold_s
    enough = None if held is None or seconds is None else held >= seconds
    return all_of((_settled(one, arm), enough))


def _running(answers: list[bool | None], need: int) -> bool | None:
    """Whether the last `need` sessions all answered yes; too few sessions is a no."""
    return all_of(answers[-need:]) if len(answers) >= need else False


def _count_yes(answers: list[bool | None]) -> int:
    count = 0
    for answer in reversed(answers):
        if answer is not True:
            break
        count += 1
    return count


def _to_go(count: int) -> Sentence | None:
    return say("%(count)s settled sessions to go", count=count) if count > 0 else None


def asked_repetitions(arm: ArmToday) -> int | None:
    """Return the repetitions asked: the program's, or those of its repetition-maximum band."""
    return arm.repetitions_asked if arm.repetitions_asked is not None else arm.rm_band


def over_target(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Two settled sessions running with 1–2 repetitions over the target (ACSM 2009)."""
    row, over = limits["settled_for_load"], int(limits["repetitions_over"].value)
    need, asked = int(row.value), asked_repetitions(arm)
    answers = [_repeated(one, arm, over) for one in course.sessions]
    held = _running(answers, need)
    return Criterion(
        about="load",
        words=say("Settled, with repetitions to spare"),
        held=held,
        found=_over_words(course, asked, need) if held else _last_words(course),
        gate=say(
            "%(need)s sessions running, %(over)s or more over the target", need=need, over=over
        ),
        figure=row,
        distance=None if held else _to_go(need - _count_yes(answers)),
    )


def _over_words(course: Course, asked: int | None, need: int) -> Sentence:
    done = min(day.last_set_repetitions or 0 for day, _ in course.sessions[-need:])
    return say(
        "Settled on %(need)s sessions running; %(done)s repetitions in the last set, "
        "%(over)s over the %(asked)s asked.",
        need=need,
        done=done,
        over=done - (asked or 0),
        asked=asked or 0,
    )


STATE_WORDS = {
    SessionState.SETTLED: say(
        "The last session settled, but without the full dose or repetitions."
    ),
    SessionState.WATCH: say("The last session was one to watch."),
    SessionState.TOO_MUCH: say("The last session was too much."),
    SessionState.UNCLASSIFIED: say("The last session can't be judged: the diary has gaps."),
}


def _last_words(course: Course) -> Sentence:
    if not course.sessions:
        return say("No session in this stage is written down.")
    return STATE_WORDS[course.sessions[-1][1].state]


def holds_to_spare(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Two settled sessions running with every hold kept as long as asked (convention)."""
    row = limits["settled_for_load"]
    need = int(row.value)
    answers = [_held_long(one, arm, arm.hold_s_asked) for one in course.sessions]
    held = _running(answers, need)
    words = say("Settled on %(need)s sessions running with every hold kept.", need=need)
    return Criterion(
        about="load",
        words=say("Settled, with every hold kept"),
        held=held,
        found=words if held else _last_words(course),
        gate=say("%(need)s sessions running", need=need),
        figure=row,
        distance=None if held else _to_go(need - _count_yes(answers)),
    )


def step_is_due(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """In stage 2 at least 7 days since the last step (Peterson 2011: once a week)."""
    row, days = limits["load_step_days"], arm.days_since_load_step
    held = None if days is None else days >= row.value
    return Criterion(
        about="load",
        words=say("Time since the last load step"),
        held=held,
        found=say("Not known.") if days is None else say("%(days)s days.", days=days),
        gate=say("%(days)s days or more", days=int(row.value)),
        figure=row,
        distance=days_to_go(row, days),
    )


def step_is_owned(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """The load and the smallest step that the patient owns are known (needed to name the next)."""
    known = arm.load_kg is not None and arm.smallest_step_kg is not None
    words = say("Not known.")
    if known and arm.owned_kg is not None:
        words = say("%(kg)s kg now; what the patient owns is recorded.", kg=f"{arm.load_kg:g}")
    elif known:
        words = say(
            "%(kg)s kg now, steps of %(step)s kg.",
            kg=f"{arm.load_kg:g}",
            step=f"{arm.smallest_step_kg:g}",
        )
    return Criterion(
        about="load",
        words=say("Load and smallest step"),
        held=True if known else None,
        found=words,
        gate=say("Known"),
        figure=limits["load_step_most"],
    )


def last_settled(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """The last session settled: the return plan goes on one step a session."""
    row = limits["settled_for_return"]
    answers = [_calm(reading) for _, reading in course.sessions]
    held = _running(answers, int(row.value))
    return Criterion(
        about="load",
        words=say("The last step settled"),
        held=held,
        found=say("The last session settled.") if held else _last_words(course),
        gate=say("Settled"),
        figure=row,
    )


def least_time(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """The least time in the stage (convention, after trials of 4–12 weeks)."""
    row = limits[stage_row(arm.stage).least_days]
    return stage_criterion(
        say("Time in this stage"),
        arm.days_in_stage >= row.value,
        say("%(days)s days.", days=arm.days_in_stage),
        say("%(days)s days or more", days=int(row.value)),
        row,
        days_to_go(row, arm.days_in_stage),
    )


def holds_running(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Full holds settled on three days in a row (convention; 45 s after Stasinopoulos 2017)."""
    row, seconds = limits["days_running"], limits["hold_target_s"].value
    need = int(row.value)
    answers = [_held_long(one, arm, seconds) for one in course.sessions]
    last = [day.on for day, _ in course.sessions[-need:]]
    in_a_row = all(b - a == timedelta(days=1) for a, b in pairwise(last))
    held = all_of((_running(answers, need), in_a_row))
    return stage_criterion(
        say("Full holds settled on days in a row"),
        held,
        say("%(count)s of the last sessions in a row.", count=_count_yes(answers)),
        say("%(need)s days in a row, %(seconds)s s", need=need, seconds=int(seconds)),
        row,
        _to_go(need - _count_yes(answers)),
    )


def quiet_nights(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Woken on one night a week at most (convention)."""
    row, since = limits["night_wakings"], arm.today - timedelta(days=7)
    nights = [day.night_wakings for day in arm.diary if since <= day.on < arm.today]
    woken = sum(1 for wakings in nights if wakings)
    held: bool | None = woken <= row.value
    if held and (not nights or None in nights):
        held = None
    return stage_criterion(
        say("Quiet nights"),
        held,
        say("The nights of the last week are not all written down.")
        if held is None
        else say("Woken on %(nights)s nights in 7 days.", nights=woken),
        say("%(nights)s night a week at most", nights=int(row.value)),
        row,
    )


def full_sets_running(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """The full dose settled in two sessions running; in stages 3 and 4 at the last band."""
    row = limits["settled_running"]
    need, band = int(row.value), final_band(arm)
    answers = [_repeated(one, arm) for one in course.sessions]
    running = _running(answers, need)
    at_band: bool | None = True
    if band is not None:
        at_band = None if arm.rm_band is None else arm.rm_band <= band
    held = all_of((running, at_band))
    return stage_criterion(
        say("The full dose settled, sessions running"),
        held,
        _dose_words(arm, course, answers, at_band),
        say("%(need)s sessions running", need=need)
        if band is None
        else say("%(need)s sessions running at %(band)s RM", need=need, band=band),
        row,
        _to_go(need - _count_yes(answers)),
    )


def final_band(arm: ArmToday) -> int | None:
    """Return the repetition maximum that the stage ends with, or None without bands."""
    bands = stage_row(arm.stage).repetition_maxima
    if not bands:
        return None
    return 8 if arm.stage is Stage.HEAVY_AND_FAST and arm.job_is_light else bands[-1]


def _dose_words(
    arm: ArmToday, course: Course, answers: list[bool | None], at_band: bool | None
) -> Sentence:
    if at_band is None:
        return say("The repetition maximum is not known.")
    if at_band is False:
        return say("The work is at %(band)s RM.", band=arm.rm_band)
    if _count_yes(answers):
        return say("Settled on %(count)s sessions running.", count=_count_yes(answers))
    return _last_words(course)


def clear_for_return(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Two weeks without a session that was too much (convention)."""
    return _clear(arm, course, limits["clear_days_for_return"])


def clear_for_discharge(arm: ArmToday, course: Course, limits: Limits) -> Criterion:
    """Four weeks without a session that was too much (convention)."""
    return _clear(arm, course, limits["clear_days_for_discharge"])


def _clear(arm: ArmToday, course: Course, row: Threshold) -> Criterion:
    since = arm.today - timedelta(days=int(row.value))
    recent = [one for one in course.every if one[0].on >= since]
    bad = [day.on for day, reading in recent if reading.state is SessionState.TOO_MUCH]
    gaps = any(reading.state is SessionState.UNCLASSIFIED for _, reading in recent)
    reaches = bool(recent) and any(day.on <= since for day in arm.diary)
    held = False if bad else True if reaches and not gaps else None
    return stage_criterion(
        say("Days without a session that was too much"),
        held,
        _clear_words(held, (arm.today - bad[-1]).days if bad else 0),
        say("%(days)s days", days=int(row.value)),
        row,
        days_to_go(row, (arm.today - bad[-1]).days) if bad else None,
    )


def _clear_words(held: bool | None, days_ago: int) -> Sentence:
    if held is None:
        return say("The diary does not show it: days are missing or can't be judged.")
    return say("None.") if held else say("Last one %(days)s days ago.", days=days_ago)
