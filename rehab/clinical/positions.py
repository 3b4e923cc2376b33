"""The positions of the exercise cards, start and end."""

from collections.abc import Callable
from functools import cache

from cases.clinical.drawing import Figure
from cases.clinical.scene import END, START, Scene, figure_of
from cases.clinical.sides import Side
from rehab.clinical.positions_heavy import HEAVY
from rehab.clinical.positions_light import LIGHT

BUILT: dict[str, Callable[[], tuple[Scene, Scene]]] = LIGHT | HEAVY


@cache
def scenes(code: str) -> tuple[Scene, Scene]:
    """Return start and end of an exercise card. Raises ValueError for an unknown code."""
    if code not in BUILT:
        raise ValueError(f"no exercise is called {code!r}")
    return BUILT[code]()


@cache  # drawn from fixed angles, so each is worked out once
def figure(code: str, phase: str, side: Side) -> Figure:
    """Return the drawing of an exercise. Raises ValueError for an unknown code or phase."""
    return figure_of(scenes(code), phase, side)


def start_and_end(code: str, side: Side) -> tuple[Figure, Figure] | None:
    """Return both drawings of an exercise, or None where there are none: a clinic's own exercise."""
    if code not in BUILT:
        return None
    return figure(code, START, side), figure(code, END, side)
