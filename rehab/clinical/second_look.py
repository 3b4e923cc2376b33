"""What the rules think of a dose that somebody has chosen: said beside the field, never in the way."""

from dataclasses import dataclass

from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

from .dose import Dose
from .loads import largest_step_kg
from .owned import Owned
from .proposal import LoadStep
from .stages import Stage, stage_row
from .thresholds import DEFAULTS, Limits
from .week_plan import is_heavy

# 3 × 15 with 30 s for each, computed; from so much work on, somebody should ask whether it can be done.
LONG_WORK = Figure(
    value=1350,
    unit="s",
    source="none",
    status=Status.COMPUTED,
    limits=gettext_noop("3 × 15 at 30 s each, without rest."),
)


@dataclass(frozen=True, kw_only=True)
class Thought:
    """One sentence about one field of a dose."""

    field: str
    words: Sentence


def second_look(
    card: str,
    dose: Dose,
    before: Dose | None,
    *,
    stage: Stage,
    owned: Owned | None = None,
    limits: Limits = DEFAULTS,
) -> tuple[Thought, ...]:
    """Return what to think twice about in a dose; `before` is the same exercise in the program now."""
    found = {
        "sets": owned.lacks(card) if owned else None,
        "load_kg": _load(dose, before, limits),
        "repetitions": _repetitions(card, dose, before, stage, limits),
        "hold_s": _hold(dose, before, limits),
        "down_s": _long(dose),
        "days_per_week": _often(card, dose, stage),
    }
    return tuple(Thought(field=field, words=words) for field, words in found.items() if words)


def _load(dose: Dose, before: Dose | None, limits: Limits) -> Sentence | None:
    if before is None or before.load_kg is None or dose.load_kg is None:
        return None
    added = dose.load_kg - before.load_kg
    if added <= largest_step_kg(before.load_kg, limits=limits) + 1e-6:
        return None
    most, floor = limits["load_step_most"], limits["load_step_floor_kg"]
    kilograms = {"before": f"{before.load_kg:g}", "after": f"{dose.load_kg:g}"}
    allowed = {"most": f"{most.value:g}", "floor": f"{floor.value:g}"}
    if before.load_kg == 0:
        text = "From no weight to %(after)s kg: the rules add %(floor)s kg at most."
        return say(text, after=kilograms["after"], floor=allowed["floor"])
    return say(
        "From %(before)s to %(after)s kg is %(share)s %% more: the rules add %(most)s %% at most, or "
        "%(floor)s kg.",
        share=f"{100 * added / before.load_kg:.0f}",
        **kilograms,
        **allowed,
    )


def _repetitions(
    card: str, dose: Dose, before: Dose | None, stage: Stage, limits: Limits
) -> Sentence | None:
    asked, ceiling = dose.repetitions, int(limits["repetitions_ceiling"].value)
    if asked is None:
        return None
    bands = stage_row(stage).repetition_maxima
    if is_heavy(stage, card) and asked not in bands:
        numbers = ", ".join(map(str, bands))
        return say("This stage works at %(bands)s repetitions maximum.", bands=numbers)
    if asked > ceiling:
        return say("The rules go up to %(ceiling)s repetitions.", ceiling=ceiling)
    if before and before.repetitions and asked > before.repetitions + 2:
        return say("The rules add one or two repetitions at a time.")
    return None


def _hold(dose: Dose, before: Dose | None, limits: Limits) -> Sentence | None:
    step = int(limits["hold_step_s"].value)
    if before is None or not before.hold_s or (dose.hold_s or 0) <= before.hold_s + step:
        return None
    return say("The rules add %(step)s s at a time.", step=step)


def _long(dose: Dose) -> Sentence | None:
    seconds = dose.time_under_tension_s()
    if seconds < LONG_WORK.value:
        return None
    return say(
        "%(minutes)s minutes of work in a session, without the rests: ask whether that can be done.",
        minutes=f"{seconds / 60:g}" if seconds % 6 == 0 else f"{seconds / 60:.0f}",
    )


def _often(card: str, dose: Dose, stage: Stage) -> Sentence | None:
    if is_heavy(stage, card) and dose.sessions_per_day > 1:
        return say("Heavy work is done once a day, with 48 hours to the next.")
    return None


def look_at_program(
    stage: Stage, before: Stage | None, changed: tuple[tuple[Dose, Dose | None], ...]
) -> tuple[Sentence, ...]:
    """Return what to think twice about in the program as a whole; `changed` pairs each dose with the
    one before."""
    found: tuple[Sentence, ...] = ()
    if before is not None and stage > before + 1:
        found += (_skipped(tuple(range(before + 1, stage))),)
    raised = sum(_raised(dose, earlier) for dose, earlier in changed if earlier)
    if stage == before and raised > 1:
        found += (say("%(count)s things are raised at once: the rules change one.", count=raised),)
    return found


def _skipped(stages: tuple[int, ...]) -> Sentence:
    if len(stages) == 1:
        return say("Stage %(stage)s is skipped: the rules go one at a time.", stage=stages[0])
    return say(
        "Stages %(first)s to %(last)s are skipped: the rules go one at a time.",
        first=stages[0],
        last=stages[-1],
    )


def _raised(dose: Dose, before: Dose) -> int:
    """How many of load, repetitions, hold and sets are higher than they were."""
    names = ("load_kg", "repetitions", "hold_s", "sets")
    pairs = ((getattr(dose, name), getattr(before, name)) for name in names)
    return sum(now is not None and was is not None and now > was for now, was in pairs)


def step_not_taken(step: LoadStep, dose: Dose, before: Dose) -> Sentence | None:
    """Return that a load step was decided on and the dose of the exercise has none of it, or None.

    The rules work out no load for a decision that is not theirs, so a draft begins with the old one.
    """
    if step is LoadStep.ADD and not _raised(dose, before):
        return say("It was decided to add load, and the dose is no higher than before: set it.")
    if step is LoadStep.REDUCE and not _raised(before, dose):
        return say(
            "It was decided to reduce the load, and the dose is no lower than before: set it."
        )
    return None
