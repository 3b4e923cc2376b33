"""Observations by our own code, and the value of one."""

from collections.abc import Iterator
from typing import Any

from rehab.clinical.codes import LOCAL

from .facts import Json


def first(found: Iterator[Any]) -> Any:
    """The first; inside a generator its absence must not look like the generator's end."""
    for one in found:
        return one
    raise LookupError("a part is missing")


def coded(observations: list[Json]) -> Iterator[tuple[str, Json]]:
    """Each observation with our own code."""
    for one in observations:
        yield first(c["code"] for c in one["code"]["coding"] if c["system"] == LOCAL), one


def of(observations: list[Json], code: str) -> list[Json]:
    return [one for own, one in coded(observations) if own == code]


def value(observation: Json) -> float:
    return observation["valueQuantity"]["value"]
