"""Where a person enters the ladder, by how easily the elbow is upset.

Adapted from the shoulder (McClure & Michener 2015, Phys Ther 95:791–800, bands from memory); PRTEE
54 from Coombes 2015, doi:10.2519/jospt.2015.5841 (from memory); night counts and PRTEE 20 are
convention. Not validated for the elbow. Population 18–65: JOSPT 2022, doi:10.2519/jospt.2022.0302.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from clinic.wording import Sentence, gettext_noop, say

from .stages import Policy, Stage
from .thresholds import DEFAULTS, Limits


class Irritability(StrEnum):
    """How easily the elbow is upset."""

    LOW = gettext_noop("low")
    MODERATE = gettext_noop("moderate")
    HIGH = gettext_noop("high")


@dataclass(frozen=True, kw_only=True)
class EntryFindings:
    """What decides the entry. Pain 0–10; PRTEE 0–100; None where it was not asked.

    Raises ValueError for a value outside its scale.
    """

    age: int
    rest_pain: int | None
    worst_pain: int | None
    night_wakings_a_week: int | None
    lasts_over_24_h: bool | None
    prtee: float | None = None

    def __post_init__(self) -> None:
        for pain in (self.rest_pain, self.worst_pain):
            if pain is not None and not 0 <= pain <= 10:
                raise ValueError(f"pain {pain} is not in 0 to 10")
        if self.prtee is not None and not 0 <= self.prtee <= 100:
            raise ValueError(f"PRTEE {self.prtee} is not in 0 to 100")
        if self.age < 0 or (self.night_wakings_a_week or 0) < 0:
            raise ValueError("age and night wakings must not be below 0")


@dataclass(frozen=True, kw_only=True)
class Entry:
    """Where to start and why. `blocked`: not to be offered. No class means that values are
    missing."""

    irritability: Irritability | None
    start_stage: Stage | None
    policy: Policy | None
    reasons: tuple[Sentence, ...]
    missing: tuple[Sentence, ...] = ()
    blocked: bool = False


Finding = Callable[[EntryFindings, Limits], Sentence | None]


def _high_pain(found: EntryFindings, limits: Limits) -> Sentence | None:
    floor = limits["high_pain"].value
    highest = max(found.rest_pain or 0, found.worst_pain or 0)
    if highest < floor:
        return None
    return say("Pain reaches %(pain)s of 10 (high from %(floor)s).", pain=highest, floor=int(floor))


def _high_nights(found: EntryFindings, limits: Limits) -> Sentence | None:
    floor, nights = limits["high_nights"].value, found.night_wakings_a_week
    if nights is None or nights < floor:
        return None
    return say(
        "Woken %(nights)s times a week (high from %(floor)s).", nights=nights, floor=int(floor)
    )


def _lasting(found: EntryFindings, limits: Limits) -> Sentence | None:
    return say("Pain lasts over 24 hours after light use.") if found.lasts_over_24_h else None


def _high_prtee(found: EntryFindings, limits: Limits) -> Sentence | None:
    floor = limits["high_prtee"].value
    if found.prtee is None or found.prtee <= floor:
        return None
    return say("PRTEE is %(score)s (high above %(floor)s).", score=found.prtee, floor=int(floor))


def _moderate_pain(found: EntryFindings, limits: Limits) -> Sentence | None:
    floor = limits["moderate_pain"].value
    highest = max(found.rest_pain or 0, found.worst_pain or 0)
    if highest < floor:
        return None
    return say(
        "Pain reaches %(pain)s of 10 (moderate from %(floor)s).", pain=highest, floor=int(floor)
    )


def _moderate_nights(found: EntryFindings, limits: Limits) -> Sentence | None:
    floor, nights = limits["moderate_nights"].value, found.night_wakings_a_week
    if nights is None or nights < floor:
        return None
    return say(
        "Woken %(nights)s times a week (moderate from %(floor)s).", nights=nights, floor=int(floor)
    )


def _moderate_prtee(found: EntryFindings, limits: Limits) -> Sentence | None:
    floor = limits["moderate_prtee"].value
    if found.prtee is None or found.prtee < floor:
        return None
    return say("PRTEE is %(score)s (moderate from %(floor)s).", score=found.prtee, floor=int(floor))


# The highest class with any reason wins.
CLASSES: tuple[tuple[Irritability, tuple[Finding, ...]], ...] = (
    (Irritability.HIGH, (_high_pain, _high_nights, _lasting, _high_prtee)),
    (Irritability.MODERATE, (_moderate_pain, _moderate_nights, _moderate_prtee)),
)

# class: start stage, policy
STARTS = {
    Irritability.HIGH: (Stage.ISOMETRIC, Policy.STRICT),
    Irritability.MODERATE: (Stage.ISOMETRIC, Policy.STANDARD),
    Irritability.LOW: (Stage.LIGHT_ISOTONIC, Policy.STANDARD),
}

# What an arm of this class may try beyond its start (common practice).
MAY_TRY = {
    Irritability.MODERATE: say(
        "Stage 2 may be tried, with the heaviest weight that hurts 2 or less."
    ),
    Irritability.LOW: say("Stage 3 may be tried if 3 × 15 with the start weight hurts 2 or less."),
}
OLDER = say("Over 65, outside the guideline's population: start one stage lower.")
OLDER_AT_THE_START = say("Over 65, outside the guideline's population: stay in stage 1 first.")


def enter(found: EntryFindings, *, limits: Limits = DEFAULTS) -> Entry:
    """Return the irritability class, the start stage and the pain policy, with the reasons.

    Under 18 the ladder is not offered. A missing pain, night or duration leaves the class open
    unless what is known already makes it high; a missing PRTEE is named but does not hold the entry
    up.
    """
    if found.age < limits["youngest"].value:
        return _too_young(found.age, limits)
    missing = _missing(found)
    level, reasons = _class(found, limits)
    if level is not Irritability.HIGH and any(name != PRTEE_MISSING for name in missing):
        # Of what is known, only a sign of more irritability says anything while values are missing.
        known = () if level is Irritability.LOW else reasons
        return Entry(
            irritability=None,
            start_stage=None,
            policy=None,
            reasons=(say("The irritability can't be told yet: values are missing."), *known),
            missing=missing,
        )
    return _placed(found, level, reasons, missing, limits)


def _class(found: EntryFindings, limits: Limits) -> tuple[Irritability, tuple[Sentence, ...]]:
    for level, rules in CLASSES:
        reasons = tuple(filter(None, (rule(found, limits) for rule in rules)))
        if reasons:
            return level, reasons
    return Irritability.LOW, (say("Nothing found that makes the irritability moderate or high."),)


def _placed(
    found: EntryFindings,
    level: Irritability,
    reasons: tuple[Sentence, ...],
    missing: tuple[Sentence, ...],
    limits: Limits,
) -> Entry:
    start, policy = STARTS[level]
    if found.age > limits["oldest"].value:
        reasons += (OLDER if start.below else OLDER_AT_THE_START,)
        start = start.below or start
    elif level in MAY_TRY:
        reasons += (MAY_TRY[level],)
    return Entry(
        irritability=level,
        start_stage=start,
        # Stage 1 is always worked under the strict limit, whatever the class.
        policy=Policy.STRICT if start is Stage.ISOMETRIC else policy,
        reasons=reasons,
        missing=missing,
    )


def _too_young(age: int, limits: Limits) -> Entry:
    return Entry(
        irritability=None,
        start_stage=None,
        policy=None,
        reasons=(too_young_words(age, limits),),
        blocked=True,
    )


def too_young_words(age: int, limits: Limits = DEFAULTS) -> Sentence:
    """Return why the ladder is not offered at this age (years)."""
    return say(
        "Age %(age)s: the ladder is not offered under %(youngest)s. "
        "Use clinical judgment and refer.",
        age=age,
        youngest=int(limits["youngest"].value),
    )


PRTEE_MISSING = say("PRTEE is missing; it might make the class higher.")


def _missing(found: EntryFindings) -> tuple[Sentence, ...]:
    asked = (
        (found.rest_pain, say("Pain at rest is missing.")),
        (found.worst_pain, say("Worst pain is missing.")),
        (found.night_wakings_a_week, say("Night wakings a week are missing.")),
        (found.lasts_over_24_h, say("Whether pain lasts over 24 hours is missing.")),
        (found.prtee, PRTEE_MISSING),
    )
    return tuple(words for value, words in asked if value is None)
