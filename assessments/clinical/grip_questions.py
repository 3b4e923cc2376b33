"""Readings that are asked about before they are kept: they may be right, and are never refused.

All limits here are settings of our own; no published limit was found. They only decide what is asked.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from statistics import fmean, median
from typing import Any

from assessments.clinical.force import KG_PER_LB, N_PER_KGF, Unit, to_newtons
from assessments.clinical.grip import Effort
from assessments.clinical.protocol import LOW_GRIP, Way, seems_too_low
from cases.clinical.sides import Side
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, say

SWAPPED = Figure(
    value=1.5,
    unit="times",
    source="no published limit was found",
    status=Status.CLINIC_SETTING,
    limits="an affected side stronger than the other by more is asked about, never refused",
)
UNIT_TOLERANCE = Figure(
    value=10,
    unit="%",
    source="no published limit was found",
    status=Status.CLINIC_SETTING,
    limits="how near to the factor between two units one trial must lie to be asked about",
)
# How many times larger the number is in the first unit of the pair.
FACTORS = (
    ("N", "kg", N_PER_KGF.value),
    ("N", "lb", KG_PER_LB.value * N_PER_KGF.value),
    ("lb", "kg", 1 / KG_PER_LB.value),
)


@dataclass(frozen=True, kw_only=True)
class DialReading:
    """One trial that counts, as the dial showed it."""

    way: Way
    side: Side
    number: int
    value: float


@dataclass(frozen=True, kw_only=True)
class Question:
    """What is asked about some readings; `about_unit` makes every other reading doubtful too.

    `key` changes when the question or one of its readings does: an answer counts for one key.
    """

    key: str
    words: Sentence
    readings: tuple[DialReading, ...]
    about_unit: bool = False


def questions(
    readings: Iterable[DialReading], unit: Unit, *, affected: Side
) -> tuple[Question, ...]:
    """Return what is to be asked about trials that count, all read in `unit`, in their order.

    Raises ValueError as `to_newtons`.
    """
    readings = tuple(readings)
    tests: dict[tuple[Way, Side], list[DialReading]] = {}
    for reading in readings:
        to_newtons(reading.value, unit)  # raises for what is no reading
        tests.setdefault((reading.way, reading.side), []).append(reading)
    zero = [one for one in readings if one.value == 0]
    mixed = list(_mixed(tests.values(), unit))
    doubtful = {one for question in mixed for one in question.readings}
    low = [
        one
        for one in readings
        if one.value > 0
        and one not in doubtful
        and seems_too_low(one.value, unit, one.way, affected=one.side is affected)
    ]
    return (
        *_zero(zero, affected),
        *mixed,
        *([_low(low, unit)] if low else ()),
        *_swapped(tests, affected),
    )


def _question(kind: str, words: Sentence, readings: Iterable[DialReading], **more: Any) -> Question:
    readings = tuple(readings)
    named = (f"{one.way.slug}-{one.side}-{one.number}={one.value:g}" for one in readings)
    return Question(key=" ".join((kind, *named)), words=words, readings=readings, **more)


def _zero(zero: list[DialReading], affected: Side) -> Iterator[Question]:
    may_pain = [one for one in zero if one.way.effort is Effort.PAIN_FREE and one.side is affected]
    others = [one for one in zero if one not in may_pain]
    if may_pain:
        words = say("0 without pain: did it hurt at the first touch of the handle?")
        yield _question("first touch", words, may_pain)
    if others:
        yield _question(
            "zero", say("0 for a grip that pain does not stop: did the dial move?"), others
        )


def _mixed(tests: Iterable[list[DialReading]], unit: Unit) -> Iterator[Question]:
    """At most one trial a test: the one that fits the others after a change of unit."""
    for trials in tests:
        for one in reversed(trials):
            others = [trial.value for trial in trials if trial is not one]
            pair = _units_apart(one.value, median(others)) if others else None
            if pair:
                words = say(
                    "%(value)s beside %(others)s: %(first)s and %(second)s differ by such a "
                    "factor. Was one trial read in another unit?",
                    value=f"{one.value:g}",
                    others=f"{median(others):g}",
                    first=pair[0],
                    second=pair[1],
                )
                yield _question(f"mixed {unit}", words, [one], about_unit=True)
                break


def _units_apart(one: float, other: float) -> tuple[str, str] | None:
    if min(one, other) <= 0:
        return None
    times = max(one, other) / min(one, other)
    near = UNIT_TOLERANCE.value / 100
    return next(
        ((first, second) for first, second, factor in FACTORS if abs(times / factor - 1) <= near),
        None,
    )


def _low(low: list[DialReading], unit: Unit) -> Question:
    limit = f"{LOW_GRIP.value:g}"
    if unit is Unit.N:
        words = say(
            "Below %(limit)s N for a grip that pain does not stop: is the dial in kg?", limit=limit
        )
    else:
        words = say(
            "Below %(limit)s N for a grip that pain does not stop: is that right?", limit=limit
        )
    return _question(f"low {unit}", words, low, about_unit=True)


def _swapped(
    tests: dict[tuple[Way, Side], list[DialReading]], affected: Side
) -> Iterator[Question]:
    for (way, side), mine in tests.items():
        other = tests.get((way, affected.other), []) if side is affected else []
        weaker = fmean(one.value for one in other) if other else 0
        times = fmean(one.value for one in mine) / weaker if weaker else 0
        if times > SWAPPED.value:
            words = say(
                "The affected side is %(times)s times as strong as the other: are the sides "
                "swapped?",
                times=f"{times:.1f}",
            )
            yield _question("swapped", words, [*other, *mine])
