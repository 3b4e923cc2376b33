"""Graded lifting: back to the loads of a job, grip by grip and a tenth of the load a week.

Sources
-------
The order of the grips, the start at 10–25 % of the job's load (here the low end) and the tenth a week are
common practice; how grip and load go together is this software's own arrangement. No source tested it.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

NO_SOURCE = "none"


class Grip(StrEnum):
    """How a load is held, from the easiest for the elbow to the hardest."""

    PALM_UP = gettext_noop("Two hands, palms up, elbows bent, close to you")
    PALM_IN = gettext_noop("Two hands, palms facing each other")
    PALM_DOWN = gettext_noop("Two hands, palms down")
    ONE_HAND = gettext_noop("One hand")
    STRAIGHT = gettext_noop("Elbow straight")


def _percent(value: float, words: str) -> Figure:
    return Figure(value=value, unit="%", source=NO_SOURCE, status=Status.CONVENTION, limits=words)


START = _percent(10, gettext_noop("Of the job's load, to begin with."))
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


def lifting_steps(job_kg: float) -> tuple[LiftingStep, ...]:
    """Return the weekly steps up to the load of a job in kg (common practice).

    The load begins at a tenth of the job's and grows by as much a week; the grips share the weeks in
    their order. Loads are taken down to 0.1 kg, never up. Raises ValueError for a job's load that is
    not above 0 and at most 100 kg, or so light that the first step would be nothing.
    """
    if not 0 < job_kg <= HEAVIEST_JOB_KG:
        raise ValueError(f"{job_kg} kg is not a load of a job")
    percents = [*range(int(START.value), 100, int(WEEKLY_STEP.value)), 100]
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
