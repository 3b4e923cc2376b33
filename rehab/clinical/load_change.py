"""What one load step comes to in each stage: more, one step less, or clearly less."""

from clinic.wording import Sentence, say

from .arm import ArmToday, Course
from .criteria_diary import asked_repetitions
from .exercises import card
from .loads import NextLoad, next_load_kg, reduced_load_kg, stepped_down_kg
from .sessions import SessionState, sorted_days
from .stages import Stage, stage_row
from .thresholds import Limits

# Fields of a proposal, and the sentence that says them.
Change = tuple[dict[str, float | int | None], tuple[Sentence, ...]]

WITHOUT_WEIGHT = say("It is done without a weight already: do fewer repetitions.")


# Stage 2 is worked at 3 × 15 (Peterson 2011); more repetitions only make up for coarse equipment.
USUAL_REPETITIONS = 15


def more(arm: ArmToday, limits: Limits) -> Change | None:
    """Return the next small step up, or None when this stage has none left to give."""
    if arm.stage is Stage.ISOMETRIC:
        return _longer_hold(arm, limits)
    if arm.stage is Stage.RETURN_TO_ACTIVITY:
        return _next_return_step(arm)
    return _heavier(arm, limits) or _more_repetitions(arm, limits)


def _longer_hold(arm: ArmToday, limits: Limits) -> Change | None:
    target = int(limits["hold_target_s"].value)
    if arm.hold_s_asked is None or arm.hold_s_asked >= target:
        return None
    after = min(target, arm.hold_s_asked + int(limits["hold_step_s"].value))
    words = say("Hold %(after)s s instead of %(now)s s.", after=after, now=arm.hold_s_asked)
    usual = card("wrist-hold").dose
    if arm.sets_asked > usual.sets and after >= (usual.hold_s or 0):
        # The many short holds after a session that was too much were for the time being.
        fewer = say("Do %(sets)s holds again.", sets=usual.sets)
        return {"next_hold_s": after, "next_sets": usual.sets}, (words, fewer)
    return {"next_hold_s": after}, (words,)


def _next_return_step(arm: ArmToday) -> Change | None:
    done = arm.return_steps_done
    if done is None or done >= arm.return_steps_asked:
        return None
    return {"next_return_step": done + 1}, (say("Go on to step %(step)s.", step=done + 1),)


def next_heavier(arm: ArmToday, limits: Limits) -> NextLoad | None:
    """Return the next load for what the patient owns, or None when load or step is not known."""
    if arm.load_kg is None or arm.smallest_step_kg is None:
        return None
    return next_load_kg(
        arm.load_kg,
        smallest_step_kg=arm.smallest_step_kg,
        owned_kg=arm.owned_kg,
        # A repetition maximum is what its load allows: more repetitions would leave the band.
        repetitions=asked_repetitions(arm) if arm.rm_band is None else _ceiling(limits),
        limits=limits,
    )


def _ceiling(limits: Limits) -> int:
    return int(limits["repetitions_ceiling"].value)


def _heavier(arm: ArmToday, limits: Limits) -> Change | None:
    after = next_heavier(arm, limits)
    if after is None or not after.changed:
        return None
    band = _band_beside(arm, 1)
    words: tuple[Sentence, ...] = (after.words,)
    if band is not None:
        words += (say("Go on to %(band)s RM.", band=band),)
    change: dict[str, float | int | None] = {"next_load_kg": after.load_kg, "next_rm_band": band}
    if arm.rm_band is None and _made_up_for(arm):
        change["next_repetitions"] = USUAL_REPETITIONS
        words += (say("Do %(usual)s repetitions again.", usual=USUAL_REPETITIONS),)
    return change, words


def _made_up_for(arm: ArmToday) -> bool:
    """Whether more repetitions than usual stand in for a load step."""
    return arm.repetitions_asked is not None and arm.repetitions_asked > USUAL_REPETITIONS


def _more_repetitions(arm: ArmToday, limits: Limits) -> Change | None:
    """One or two repetitions more, as many as were to spare, where the next weight is too far off."""
    asked = arm.repetitions_asked
    coarse = next_heavier(arm, limits)
    if coarse is None or asked is None or arm.rm_band is not None or asked >= _ceiling(limits):
        return None
    trained = [day for day in sorted_days(arm.diary) if day.trained]
    done = [day.last_set_repetitions for day in trained[-2:]]
    spare = min((count - asked for count in done if count is not None), default=1)
    after = min(_ceiling(limits), asked + max(1, min(2, spare)))
    words = say("Do %(after)s repetitions instead of %(now)s.", after=after, now=asked)
    return {"next_repetitions": after}, (coarse.words, words)


def _band_beside(arm: ArmToday, step: int) -> int | None:
    """The neighboring repetition maximum of this stage, or None at its ends."""
    bands = stage_row(arm.stage).repetition_maxima
    if arm.rm_band not in bands:
        return None
    place = bands.index(arm.rm_band) + step
    return bands[place] if 0 <= place < len(bands) else None


def clearly_less(arm: ArmToday, course: Course, limits: Limits) -> Change:
    """Return the answer to one session that was too much (sizes are convention)."""
    if arm.stage is Stage.ISOMETRIC:
        return _short_holds(limits)
    if arm.stage is Stage.RETURN_TO_ACTIVITY:
        return _return_step_back(arm)
    if arm.stage is Stage.HEAVY_AND_FAST and arm.fast_work:
        return {"next_load_kg": arm.load_kg}, (say("Take the fast work out first."),)
    return _lighter(arm, course, limits)


def _short_holds(limits: Limits) -> Change:
    holds = int(limits["fallback_holds"].value)
    seconds = int(limits["fallback_hold_s"].value)
    words = say(
        "Rest from holds for 24–48 hours, then %(holds)s × %(seconds)s s at lower effort.",
        holds=holds,
        seconds=seconds,
    )
    return {"next_sets": holds, "next_hold_s": seconds}, (words,)


def _return_step_back(arm: ArmToday) -> Change:
    if arm.return_steps_done is None:
        return {}, (say("Go one step back in the return plan."),)
    step = max(1, arm.return_steps_done - 1)
    return {"next_return_step": step}, (say("Go back to step %(step)s.", step=step),)


def _lighter(arm: ArmToday, course: Course, limits: Limits) -> Change:
    band = _band_beside(arm, -1)
    words = (say("Go back to %(band)s RM.", band=band),) if band is not None else ()
    if arm.load_kg == 0:
        return {"next_rm_band": band}, (*words, WITHOUT_WEIGHT)
    if arm.load_kg is None or arm.smallest_step_kg is None:
        return {"next_rm_band": band}, (*words, say("Take 10–20 %% off the load."))
    after = reduced_load_kg(
        arm.load_kg,
        smallest_step_kg=arm.smallest_step_kg,
        owned_kg=arm.owned_kg,
        last_settled_kg=_last_settled_kg(course),
        limits=limits,
    )
    return {"next_load_kg": after.load_kg, "next_rm_band": band}, (after.words, *words)


def _last_settled_kg(course: Course) -> float | None:
    loads = [
        day.load_kg
        for day, reading in course.sessions
        if reading.state is SessionState.SETTLED and day.load_kg
    ]
    return loads[-1] if loads else None


def one_step_less(arm: ArmToday, limits: Limits) -> Change:
    """Return the answer to three sessions to watch in a week: one load step down (convention)."""
    if arm.stage is Stage.RETURN_TO_ACTIVITY:
        return _return_step_back(arm)
    if arm.stage is Stage.ISOMETRIC:
        return _shorter_hold(arm, limits)
    if arm.rm_band is None and _made_up_for(arm):
        words = say("Do %(usual)s repetitions again.", usual=USUAL_REPETITIONS)
        return {"next_repetitions": USUAL_REPETITIONS}, (words,)
    if arm.load_kg == 0:
        return {}, (WITHOUT_WEIGHT,)
    if arm.load_kg is None or arm.smallest_step_kg is None:
        return {}, (say("Go one load step down."),)
    after = stepped_down_kg(
        arm.load_kg, smallest_step_kg=arm.smallest_step_kg, owned_kg=arm.owned_kg
    )
    return {"next_load_kg": after.load_kg}, (after.words,)


def _shorter_hold(arm: ArmToday, limits: Limits) -> Change:
    if arm.hold_s_asked is None:
        return {}, (say("Hold less long."),)
    shortest = int(limits["fallback_hold_s"].value)
    after = max(shortest, arm.hold_s_asked - int(limits["hold_step_s"].value))
    words = say("Hold %(after)s s instead of %(now)s s.", after=after, now=arm.hold_s_asked)
    return {"next_hold_s": after}, (words,)
