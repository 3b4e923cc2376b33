"""Load arithmetic: from repetitions to a maximum, from this load to the next.

Sources
-------
Seven equations for the one-repetition maximum, by their authors' names; read in later lists of
formulas, not in the original papers. None was validated on wrist extension or on painful arms (from
memory), and a true maximum is not tested in lateral elbow tendinopathy (convention): use a 10–15
repetition maximum. Reynolds 2006, J Strength Cond Res 20:584: no more than 10 repetitions for a
linear equation. ACSM 2009, doi:10.1249/MSS.0b013e3181915670: 2–10 % more load at 1–2 repetitions
over the target. Peterson 2011, doi:10.3109/03009734.2011.600476: 1 kg women, 2 kg men, 0.1 kg more
each week. Heavy slow resistance: Kongsgaard 2009, Scand J Med Sci Sports 19:790–802; Couppé 2022,
doi:10.1177/03635465221110214.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

from .owned import at_most_kg, next_down_kg
from .thresholds import DEFAULTS, Limits

Sex = Literal["female", "male"]


@dataclass(frozen=True, kw_only=True)
class Equation:
    """One published equation: what load could be moved once, from a load moved `r` times.

    `linear`: either the maximum or the percentage of it is a straight line in `r`; such an equation
    is used up to 10 repetitions. From `undefined_from` on the equation has no meaning.
    """

    name: str
    year: int
    formula: str
    linear: bool
    per_kg: Callable[[int], float]
    undefined_from: int | None = None
    source: str = gettext_noop("lists of published equations")
    status: Status = Status.SECOND_HAND


# Epley and O'Conner are straight lines in the maximum, Brzycki and Lander in its percentage: all
# four are what the 10-repetition rule means by linear. A power and two exponentials are not.
# fmt: off
EQUATIONS = (
    Equation(name="Epley", year=1985, linear=True, formula="w (1 + r/30)",
             per_kg=lambda r: 1 + r / 30),
    Equation(name="Brzycki", year=1993, linear=True, formula="36 w / (37 − r)",
             per_kg=lambda r: 36 / (37 - r), undefined_from=37),
    Equation(name="Lombardi", year=1989, linear=False, formula="w r^0.10",
             per_kg=lambda r: r**0.10),
    Equation(name="Mayhew", year=1992, linear=False, formula="100 w / (52.2 + 41.9 e^(−0.055 r))",
             per_kg=lambda r: 100 / (52.2 + 41.9 * math.exp(-0.055 * r))),
    Equation(name="O'Conner", year=1989, linear=True, formula="w (1 + 0.025 r)",
             per_kg=lambda r: 1 + 0.025 * r),
    Equation(name="Wathen", year=1994, linear=False, formula="100 w / (48.8 + 53.8 e^(−0.075 r))",
             per_kg=lambda r: 100 / (48.8 + 53.8 * math.exp(-0.075 * r))),
    Equation(name="Lander", year=1985, linear=True, formula="100 w / (101.3 − 2.67123 r)",
             per_kg=lambda r: 100 / (101.3 - 2.67123 * r), undefined_from=38),
)
# fmt: on

LINEAR_LIMIT = Figure(
    value=10,
    unit="repetitions",
    source="Reynolds 2006, J Strength Cond Res 20:584",
    status=Status.PUBLISHED,
    limits=gettext_noop("For linear equations; more repetitions overstate or understate."),
)


def within_limits(row: Equation, repetitions: int) -> bool:
    """Return whether the equation may be read at so many repetitions (linear: up to 10; Reynolds
    2006)."""
    return not row.linear or repetitions <= LINEAR_LIMIT.value


def repetition_maximum_kg(row: Equation, load_kg: float, repetitions: int) -> float:
    """Return the one-repetition maximum in kg by one equation; one repetition returns the load
    itself.

    Raises ValueError for a load of 0 or less, fewer than 1 repetition, or repetitions for which the
    equation is undefined (Brzycki from 37, Lander from 38).
    """
    _check(load_kg, repetitions)
    if row.undefined_from is not None and repetitions >= row.undefined_from:
        raise ValueError(f"{row.name} is undefined from {row.undefined_from} repetitions")
    return load_kg if repetitions == 1 else load_kg * row.per_kg(repetitions)


def _check(load_kg: float, repetitions: int) -> None:
    if load_kg <= 0:
        raise ValueError(f"load {load_kg} kg is not above 0")
    if repetitions < 1:
        raise ValueError(f"{repetitions} repetitions: at least 1 is needed")


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """What one equation says. `kg` is None where the equation is undefined."""

    name: str
    year: int
    kg: float | None
    within_limits: bool


def repetition_maxima(load_kg: float, repetitions: int) -> tuple[Estimate, ...]:
    """Return all seven estimates side by side, in kg, each with whether it may be read here.

    Raises ValueError for a load of 0 or less or fewer than 1 repetition. An equation that is
    undefined at so many repetitions keeps its place with `kg=None`.
    """
    _check(load_kg, repetitions)
    return tuple(_estimate(row, load_kg, repetitions) for row in EQUATIONS)


def _estimate(row: Equation, load_kg: float, repetitions: int) -> Estimate:
    defined = row.undefined_from is None or repetitions < row.undefined_from
    kg = repetition_maximum_kg(row, load_kg, repetitions) if defined else None
    allowed = defined and within_limits(row, repetitions)
    return Estimate(name=row.name, year=row.year, kg=kg, within_limits=allowed)


# Repetitions → % of the maximum. NSCA training load chart, read on copies; 15 from memory (a
# task-force toolkit gives "3 × 15 at about 65 %" second-hand).
PERCENT_CHART = {
    1: 100, 2: 95, 3: 93, 4: 90, 5: 87, 6: 85, 7: 83, 8: 80, 9: 77, 10: 75, 11: 73, 12: 70, 15: 65,
}  # fmt: skip


def chart_percent(repetitions: int) -> Figure:
    """Return the chart's share of the maximum in %, with its status; it is a starting guess only.

    Repetitions at a share differ widely between people (Nuzzo 2024,
    doi:10.1007/s40279-023-01937-7). Raises ValueError for repetitions that the chart does not
    print.
    """
    if repetitions not in PERCENT_CHART:
        raise ValueError(f"the chart has no row for {repetitions} repetitions")
    status = Status.FROM_MEMORY if repetitions == 15 else Status.SECOND_HAND
    return Figure(
        value=PERCENT_CHART[repetitions],
        unit="%",
        source="NSCA training load chart",
        status=status,
        limits=gettext_noop("A starting guess: correct it from the repetitions actually done."),
    )


# Peterson 2011, read in a task-force toolkit.
PETERSON_START_KG: dict[Sex, float] = {"female": 1.0, "male": 2.0}
PETERSON_STEP_KG = 0.1
PETERSON_WEEKS = 13


def published_for(sex: str) -> Sex | None:
    """Return the sex on record where figures are published for it, else None."""
    return next((one for one in get_args(Sex) if one == sex), None)


def peterson_load_kg(sex: Sex, week: int) -> float:
    """Return the load in kg of a week (1–13) on Peterson's line: start + 0.1 (week − 1).

    Raises ValueError for a week outside the three months of the trial or an unknown sex.
    """
    if sex not in PETERSON_START_KG:
        raise ValueError(f"sex {sex!r} has no published start load")
    if not 1 <= week <= PETERSON_WEEKS:
        raise ValueError(f"week {week} is not in 1 to {PETERSON_WEEKS}")
    return round(PETERSON_START_KG[sex] + PETERSON_STEP_KG * (week - 1), 1)


@dataclass(frozen=True, kw_only=True)
class HeavySlowWeek:
    """One row of the heavy-slow-resistance table: sets of so many repetitions maximum."""

    first_week: int
    last_week: int
    sets: int
    repetition_maximum: int
    up_s: int = 3
    down_s: int = 3


# Read second-hand, in an account of the tendon programs; Kongsgaard 2009 uses 4 sets throughout
# (from memory).
HEAVY_SLOW = (
    HeavySlowWeek(first_week=1, last_week=1,  sets=3, repetition_maximum=15),
    HeavySlowWeek(first_week=2, last_week=3,  sets=3, repetition_maximum=12),
    HeavySlowWeek(first_week=4, last_week=5,  sets=4, repetition_maximum=10),
    HeavySlowWeek(first_week=6, last_week=8,  sets=4, repetition_maximum=8),
    HeavySlowWeek(first_week=9, last_week=12, sets=4, repetition_maximum=6),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class NextLoad:
    """The load to use next and why; `changed` is False where the equipment has no step small
    enough."""

    load_kg: float
    changed: bool
    words: Sentence


def _grams(kg: float) -> int:
    return round(kg * 1000)


def largest_step_kg(load_kg: float, *, limits: Limits = DEFAULTS) -> float:
    """Return the largest step in kg allowed from this load: 10 % (a setting), but 0.1 kg always."""
    share = limits["load_step_most"].value / 100
    return max(load_kg * share, limits["load_step_floor_kg"].value)


def next_load_kg(
    load_kg: float,
    *,
    smallest_step_kg: float,
    owned_kg: tuple[float, ...] | None = None,
    repetitions: int | None = None,
    hold_s: int | None = None,
    limits: Limits = DEFAULTS,
) -> NextLoad:
    """Return the next load in kg: the smallest owned step of at least 2 %, never over 10 % (0.1 kg
    always).

    `owned_kg` are the loads that the patient can make; where they are not recorded (None),
    `smallest_step_kg`, the difference between neighboring weights, stands for them. `repetitions` or
    `hold_s` is what is asked now. Where even one step is too large the load stays and the answer is
    more repetitions, a longer hold, or a finer weight. 0 kg is work without a weight. Raises
    ValueError for a load below 0 or a step of 0 or less. Sources: ACSM 2009; Peterson 2011; the order
    of the ways out is convention.
    """
    if load_kg < 0 or smallest_step_kg <= 0:
        raise ValueError("a load must be 0 kg or more, a step above 0 kg")
    now = _grams(load_kg)
    least = now * limits["load_step_least"].value / 100
    step = _step(now, least, _grams(smallest_step_kg), owned_kg)
    if step is None or step > _grams(largest_step_kg(load_kg, limits=limits)):
        return NextLoad(
            load_kg=load_kg, changed=False, words=_way_round(repetitions, hold_s, limits)
        )
    after = (now + step) / 1000
    words = say("Go from %(before)s kg to %(after)s kg.", before=f"{load_kg:g}", after=f"{after:g}")
    return NextLoad(load_kg=after, changed=True, words=words)


def _step(now: int, least: float, smallest: int, owned_kg: tuple[float, ...] | None) -> int | None:
    """The smallest step in grams that is worth making, whether allowed or not; None without one."""
    if owned_kg is not None:
        steps = (_grams(kg) - now for kg in owned_kg)
        return min((step for step in steps if step > 0 and step >= least), default=None)
    owned = max(smallest, 1)
    return owned * max(1, math.ceil(round(least / owned, 6)))


def _way_round(repetitions: int | None, hold_s: int | None, limits: Limits) -> Sentence:
    ceiling = int(limits["repetitions_ceiling"].value)
    if hold_s is not None:
        return say(
            "The next weight would be too big a step: hold %(longer)s s, not %(now)s s, first.",
            longer=hold_s + int(limits["hold_step_s"].value),
            now=hold_s,
        )
    if repetitions is None or repetitions < ceiling:
        return say(
            "The next weight would be too big a step: work up to %(ceiling)s repetitions first.",
            ceiling=ceiling,
        )
    return say(
        "The next weight would be too big a step: add water (100 ml is 0.1 kg) or a small plate, "
        "or shorten the lever."
    )


def reduced_load_kg(
    load_kg: float,
    *,
    smallest_step_kg: float,
    owned_kg: tuple[float, ...] | None = None,
    last_settled_kg: float | None = None,
    limits: Limits = DEFAULTS,
) -> NextLoad:
    """Return the lighter load in kg after a session that was too much.

    The last load that settled, if it is lighter and (where `owned_kg` is recorded) still owned; else
    the heaviest owned load that is at least 10 % lighter. Where that is more than 20 % lighter the
    sentence says so. 0 kg means without a weight. Raises ValueError for a load or a step of 0 or
    less. The sizes are convention.
    """
    if load_kg <= 0 or smallest_step_kg <= 0:
        raise ValueError("load and step must be above 0 kg")
    if (
        last_settled_kg is not None
        and last_settled_kg < load_kg
        and _made(last_settled_kg, owned_kg)
    ):
        words = say("Go back to %(kg)s kg, the last load that settled.", kg=f"{last_settled_kg:g}")
        return NextLoad(load_kg=last_settled_kg, changed=True, words=words)
    now, owned = _grams(load_kg), max(_grams(smallest_step_kg), 1)
    least = now * limits["reduce_least"].value / 100
    if owned_kg is None:
        after = max(0, now - owned * max(1, math.ceil(round(least / owned, 6))))
    else:
        after = _grams(at_most_kg((now - least) / 1000, owned_kg))
    too_light = after < now * (1 - limits["reduce_most"].value / 100)
    return NextLoad(load_kg=after / 1000, changed=True, words=_lighter(after / 1000, too_light))


def _made(load_kg: float, owned_kg: tuple[float, ...] | None) -> bool:
    """Whether a load can be made; where nothing is recorded, any can."""
    return owned_kg is None or _grams(load_kg) in {0, *map(_grams, owned_kg)}


def _lighter(after_kg: float, too_light: bool) -> Sentence:
    if after_kg == 0:
        return say("Go on without a weight.")
    if too_light:
        return say(
            "Go down to %(kg)s kg: the nearest lighter weight takes off more than usual.",
            kg=f"{after_kg:g}",
        )
    return say("Go down to %(kg)s kg.", kg=f"{after_kg:g}")


def stepped_down_kg(
    load_kg: float, *, smallest_step_kg: float, owned_kg: tuple[float, ...] | None = None
) -> NextLoad:
    """Return the next lighter owned load in kg, or one owned step less where none are recorded.

    0 means without a weight. Raises ValueError for a load or a step of 0 or less.
    """
    if load_kg <= 0 or smallest_step_kg <= 0:
        raise ValueError("load and step must be above 0 kg")
    after = max(0, _grams(load_kg) - max(_grams(smallest_step_kg), 1)) / 1000
    if owned_kg is not None:
        after = next_down_kg(load_kg, owned_kg)
    return NextLoad(load_kg=after, changed=True, words=_lighter(after, too_light=False))


def volume_load_kg(sets: int, repetitions: int, load_kg: float) -> float:
    """Return sets × repetitions × kg (from memory). Raises ValueError below 0."""
    if min(sets, repetitions, load_kg) < 0:
        raise ValueError("sets, repetitions and load must not be below 0")
    return sets * repetitions * load_kg


def time_under_tension_s(
    sets: int, repetitions: int = 1, *, up_s: float = 0, hold_s: float = 0, down_s: float = 0
) -> float:
    """Return sets × repetitions × (up + hold + down) in seconds (from memory). Raises ValueError
    below 0."""
    if min(sets, repetitions, up_s, hold_s, down_s) < 0:
        raise ValueError("sets, repetitions and seconds must not be below 0")
    return sets * repetitions * (up_s + hold_s + down_s)
