"""Newtons, and the units that dynamometers show.

A published force is never a bare number: papers mix N, kg and lb.
"""

from enum import StrEnum
from math import isfinite

from clinic.evidence import Figure, Status

N_PER_KGF = Figure(
    value=9.80665,
    unit="N/kgf",
    source="standard gravity, exact by definition",
    status=Status.PUBLISHED,
)
KG_PER_LB = Figure(
    value=0.45359237,
    unit="kg/lb",
    source="international pound, exact by definition",
    status=Status.PUBLISHED,
)


class Unit(StrEnum):
    """The unit on the dial; `shown` is what dynamometers print."""

    N = "N"
    KGF = "kgf"
    LBF = "lbf"

    @property
    def shown(self) -> str:
        """What a dynamometer prints: kg and lb, not kgf and lbf."""
        return {Unit.N: "N", Unit.KGF: "kg", Unit.LBF: "lb"}[self]


NEWTONS_PER = {
    Unit.N: 1.0,
    Unit.KGF: N_PER_KGF.value,
    Unit.LBF: KG_PER_LB.value * N_PER_KGF.value,
}


def to_newtons(value: float, unit: Unit) -> float:
    """Return a dial reading in newtons. Raises ValueError when negative or not finite."""
    if not isfinite(value) or value < 0:
        raise ValueError(f"grip {value} {unit} is not a reading")
    return value * NEWTONS_PER[unit]


def from_newtons(force_n: float, unit: Unit) -> float:
    """Return `force_n` (N) in `unit`. Raises ValueError when negative or not finite."""
    if not isfinite(force_n) or force_n < 0:
        raise ValueError(f"grip {force_n} N is not a force")
    return force_n / NEWTONS_PER[unit]
