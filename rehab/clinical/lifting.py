"""Graded lifting: back to the loads of a job, grip by grip and a tenth of the load a week.

Sources
-------
The strength classes of jobs are those of the US Dictionary of Occupational Titles, read in a text that
quotes them; the cuts of guideline weights are those of the HSE's text on manual handling, read
second-hand. The order of the grips, the start at 10–25 % of the job's load and the tenth a week are
common practice; how grip and load go together is this program's own arrangement. No source tested it.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

NO_SOURCE = "none"
CLASSES_SOURCE = "US Dictionary of Occupational Titles"
HSE_SOURCE = "HSE, manual handling"


class Strength(StrEnum):
    """How heavy a job is, by what it asks to be lifted."""

    SEDENTARY = gettext_noop("sedentary")
    LIGHT = gettext_noop("light")
    MEDIUM = gettext_noop("medium")
    HEAVY = gettext_noop("heavy")
    VERY_HEAVY = gettext_noop("very heavy")


@dataclass(frozen=True, kw_only=True)
class JobStrength:
    """One class: the most that is lifted now and then, often, and all the time, in kg.

    None is not named in the class, or negligible; what is above the heaviest class has no upper end.
    """

    strength: Strength
    occasional_kg: float | None
    frequent_kg: float | None
    constant_kg: float | None
    source: str = CLASSES_SOURCE
    status: Status = Status.SECOND_HAND


def _job(strength: Strength, occasional: float | None, frequent: float | None,
         constant: float | None) -> JobStrength:  # fmt: skip
    return JobStrength(
        strength=strength, occasional_kg=occasional, frequent_kg=frequent, constant_kg=constant
    )


# class, occasional, frequent, constant, kg
JOBS: tuple[JobStrength, ...] = (
    _job(Strength.SEDENTARY,   4.5, None, None),
    _job(Strength.LIGHT,       9.1,  4.5, None),
    _job(Strength.MEDIUM,     22.7, 11.3,  4.5),
    _job(Strength.HEAVY,      45.4, 22.7,  9.1),
    _job(Strength.VERY_HEAVY, None, None, None),
)  # fmt: skip


def job_strength(heaviest_kg: float) -> JobStrength:
    """Return the class of a job whose heaviest lift, now and then, is so many kg. Raises ValueError
    for a load that is none (see `lifting_steps`)."""
    _check_job(heaviest_kg)
    fits = (job for job in JOBS if job.occasional_kg and heaviest_kg <= job.occasional_kg)
    return next(fits, JOBS[-1])


def _cut(percent: float, words: str) -> Figure:
    return Figure(
        value=percent, unit="%", source=HSE_SOURCE, status=Status.SECOND_HAND, limits=words
    )


# By how much a guideline weight is cut. Rates between the rows are not given.
TWIST_CUTS = (
    _cut(10, gettext_noop("The trunk is turned by more than 45°.")),
    _cut(20, gettext_noop("The trunk is turned by more than 90°.")),
)
RATE_CUTS = (
    _cut(30, gettext_noop("1 or 2 lifts a minute.")),
    _cut(50, gettext_noop("5 to 8 lifts a minute.")),
    _cut(80, gettext_noop("More than 12 lifts a minute.")),
)
# Close to the body, between knuckle and elbow height.
BASE_WEIGHTS = {
    "male": Figure(value=25, unit="kg", source=HSE_SOURCE, status=Status.FROM_MEMORY),
    "female": Figure(value=16, unit="kg", source=HSE_SOURCE, status=Status.FROM_MEMORY),
}


def guideline_kg(base_kg: float, cut: Figure) -> float:
    """Return a guideline weight in kg after one cut in percent (HSE). Raises ValueError for a weight
    that is not above 0 or a cut outside of 0–100 %."""
    if not base_kg > 0 or not 0 <= cut.value <= 100:
        raise ValueError("a guideline weight is above 0 kg and a cut 0 to 100 %")
    return round(base_kg * (1 - cut.value / 100), 6)


class Grip(StrEnum):
    """How a load is held, from the easiest for the elbow to the hardest."""

    PALM_UP = gettext_noop("Two hands, palms up, elbows bent, close to you")
    PALM_IN = gettext_noop("Two hands, palms facing each other")
    PALM_DOWN = gettext_noop("Two hands, palms down")
    ONE_HAND = gettext_noop("One hand")
    STRAIGHT = gettext_noop("Elbow straight")


def _percent(value: float, words: str) -> Figure:
    return Figure(value=value, unit="%", source=NO_SOURCE, status=Status.CONVENTION, limits=words)


START_LOWEST = _percent(10, gettext_noop("Of the job's load, to begin with."))
START_HIGHEST = _percent(25, gettext_noop("Of the job's load, to begin with."))
WEEKLY_STEP = _percent(10, gettext_noop("Of the job's load, more each week."))
# Guards against a slip of the pen; no clinical figure.
HEAVIEST_JOB_KG = 100.0


@dataclass(frozen=True, kw_only=True)
class LiftingStep:
    """One week: a grip and a load in kg, which is `percent` of what the job asks."""

    number: int
    percent: int
    load_kg: float
    grip: Grip


def lifting_steps(
    job_kg: float, *, start_percent: int = int(START_LOWEST.value)
) -> tuple[LiftingStep, ...]:
    """Return the weekly steps up to the load of a job in kg (common practice).

    The load begins at `start_percent` of the job's, a whole number from 10 to 25, and grows by ten
    of a hundred parts of it a week; the grips share the weeks in their order. Loads are taken down
    to 0.1 kg, never up. Raises ValueError for a job's load that is not above 0 and at most 100 kg,
    or so light that the first step would be nothing, and for another start.
    """
    _check_job(job_kg)
    if not START_LOWEST.value <= start_percent <= START_HIGHEST.value:
        raise ValueError(f"a start at {start_percent} % is not in 10 to 25")
    percents = [*range(start_percent, 100, int(WEEKLY_STEP.value)), 100]
    loads = [math.floor(round(job_kg * percent / 10, 6)) / 10 for percent in percents]
    if loads[0] <= 0:
        raise ValueError(f"{job_kg} kg is too light for graded lifting")
    grips = tuple(Grip)
    return tuple(
        LiftingStep(
            number=place + 1,
            percent=percent,
            load_kg=load_kg,
            grip=grips[place * len(grips) // len(percents)],
        )
        for place, (percent, load_kg) in enumerate(zip(percents, loads, strict=True))
    )


def _check_job(job_kg: float) -> None:
    if not 0 < job_kg <= HEAVIEST_JOB_KG:
        raise ValueError(f"{job_kg} kg is not a load of a job")
