"""The five stages of the loading ladder, the two pain policies, and the doses of each stage.

The ladder is a proposal built from the programs of Peterson 2011 (stage 2), Couppé 2022 and heavy
slow resistance (stages 3 and 4) and Myers 2016 (stage 5). No published program gates its stages the
way this one does; the gates are common practice and each carries its status in `thresholds`. Entry
by irritability is adapted from the shoulder (McClure & Michener 2015) and not validated for the
elbow.
"""

from dataclasses import dataclass, replace
from enum import IntEnum, StrEnum

from clinic.wording import Sentence, gettext_noop, say

from .dose import Dose
from .exercises import card
from .loads import PETERSON_START_KG, Sex
from .thresholds import DEFAULTS, Limits, Threshold


class Stage(IntEnum):
    """One rung of the loading ladder."""

    ISOMETRIC = 1
    LIGHT_ISOTONIC = 2
    SLOW_RESISTANCE = 3
    HEAVY_AND_FAST = 4
    RETURN_TO_ACTIVITY = 5

    @property
    def label(self) -> Sentence:
        """Return the name of the stage."""
        return LABELS[self]

    @property
    def above(self) -> "Stage | None":
        """Return the next stage, or None at the top."""
        return None if self is Stage.RETURN_TO_ACTIVITY else Stage(self + 1)

    @property
    def below(self) -> "Stage | None":
        """Return the stage before, or None at the bottom."""
        return None if self is Stage.ISOMETRIC else Stage(self - 1)


LABELS = {
    Stage.ISOMETRIC: say("isometric"),
    Stage.LIGHT_ISOTONIC: say("light isotonic"),
    Stage.SLOW_RESISTANCE: say("slow resistance"),
    Stage.HEAVY_AND_FAST: say("heavy and fast"),
    Stage.RETURN_TO_ACTIVITY: say("return to activity"),
}


@dataclass(frozen=True, kw_only=True)
class PainLimits:
    """Pain during exercise: up to `green_ceiling` settles, from `red_floor` is too much (0–10)."""

    green_ceiling: Threshold
    red_floor: Threshold


class Policy(StrEnum):
    """How much pain during exercise is accepted: strict in stage 1 and high irritability."""

    STRICT = gettext_noop("strict")
    STANDARD = gettext_noop("standard")

    def pain_limits(self, limits: Limits = DEFAULTS) -> PainLimits:
        """Return the two pain limits of this policy from the table in force."""
        return PainLimits(
            green_ceiling=limits[f"{self.name.lower()}_green_ceiling"],
            red_floor=limits[f"{self.name.lower()}_red_floor"],
        )


@dataclass(frozen=True, kw_only=True)
class StageRow:
    """What one stage is: its exercises by code, its bands, and whose row says how long it takes at least."""

    stage: Stage
    aim: str
    main: tuple[str, ...]
    least_days: str
    repetition_maxima: tuple[int, ...] = ()


_ = gettext_noop

# Read top to bottom: one moves up one row at a time. `least_days` names a row of `thresholds`.
STAGES: tuple[StageRow, ...] = (
    StageRow(
        stage=Stage.ISOMETRIC,
        aim=_("Settle and hold"),
        main=("wrist-hold", "fist-hold", "open-hand", "row", "shoulder-turn"),
        least_days="stage_1_days",
    ),
    StageRow(
        stage=Stage.LIGHT_ISOTONIC,
        aim=_("Slow light lifting, elbow bent"),
        main=(
            "lower-slowly", "lift-and-lower", "thumb-up-lift", "turn-palm", "ball-squeeze",
            "twist-bar",
        ),
        least_days="stage_2_days",
    ),
    StageRow(
        stage=Stage.SLOW_RESISTANCE,
        aim=_("Stronger: elbow straight, rotation"),
        main=(
            "straight-arm-lift", "turn-palm", "thumb-up-lift", "twist-bar", "row", "shoulder-turn",
        ),
        least_days="stage_3_days",
        repetition_maxima=(15, 12),
    ),
    StageRow(
        stage=Stage.HEAVY_AND_FAST,
        aim=_("Heavy and working"),
        main=("straight-arm-lift", "turn-palm", "lift-and-carry", "ball-pass"),
        least_days="stage_4_days",
        repetition_maxima=(10, 8, 6),
    ),
    StageRow(
        stage=Stage.RETURN_TO_ACTIVITY,
        aim=_("Return and keep"),
        main=("shadow-swing", "lift-and-carry"),
        least_days="stage_5_days",
    ),
)  # fmt: skip


def stage_row(stage: Stage) -> StageRow:
    """Return the row of a stage. Raises ValueError for what is not a stage."""
    return STAGES[Stage(stage) - 1]


# The exercises that follow the repetition-maximum bands; the others keep their card's dose.
HEAVY = ("straight-arm-lift", "turn-palm", "thumb-up-lift")
SETS_AT = {15: 3, 12: 3, 10: 4, 8: 4, 6: 4}


def stage_doses(stage: Stage, code: str, *, sex: Sex | None = None) -> tuple[Dose, ...]:
    """Return an exercise's doses in a stage, in the order in which they are worked through.

    `sex` only sets the published start load of lifting and lowering in stage 2 (Peterson 2011: 1 kg
    women, 2 kg men); without it the load is left open: the heaviest weight with pain 2 or less.
    Raises ValueError for an unknown code, or one that does not belong to the stage.
    """
    row, chosen = stage_row(stage), card(code)
    if stage not in chosen.stages:
        raise ValueError(f"{code} does not belong to stage {int(stage)}")
    if code in HEAVY and row.repetition_maxima:
        return tuple(_band(chosen.dose, maximum) for maximum in row.repetition_maxima)
    if stage == Stage.LIGHT_ISOTONIC and code in ("lower-slowly", "lift-and-lower") and sex:
        return (replace(chosen.dose, load_kg=PETERSON_START_KG[sex]),)
    if stage == Stage.SLOW_RESISTANCE and chosen.dose.days_per_week > 3 and code in row.main:
        return (replace(chosen.dose, days_per_week=3),)
    return (chosen.dose,)


def _band(dose: Dose, maximum: int) -> Dose:
    return replace(
        dose,
        sets=SETS_AT[maximum],
        repetitions=maximum,
        up_s=3,
        down_s=3,
        rest_s=120,
        days_per_week=3,
    )
