"""What a weight asks of the wrist and of forearm rotation, in newton metres.

Segment data come from one source only and are never mixed: de Leva 1996, J Biomech 29:1223, whose
hand ends at the third knuckle. The distance of a dumbbell from the wrist is our own assumption. For
scale: ten men's isometric wrist extension, 7.1 (SD 2.1) N m; a mean, not a limit for one person.
"""

import math
from dataclasses import dataclass

from assessments.clinical.force import N_PER_KGF
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

from .loads import Sex

G = N_PER_KGF.value

DE_LEVA = "de Leva 1996, J Biomech 29:1223"


@dataclass(frozen=True, kw_only=True)
class Hand:
    """A hand of one sex: mass as a share of body mass, length wrist to third knuckle in m, and its
    center of mass as a share of that length; `grip_m` from the wrist to a held weight."""

    mass_share: Figure
    length_m: Figure
    center_share: Figure
    grip_m: Figure

    def mass_kg(self, body_kg: float) -> float:
        """Return the mass of the hand in kg."""
        return self.mass_share.value * body_kg

    @property
    def center_m(self) -> float:
        """Return the distance of the hand's center of mass from the wrist in m."""
        return self.center_share.value * self.length_m.value


def _figure(value: float, unit: str) -> Figure:
    return Figure(value=value, unit=unit, source=DE_LEVA, status=Status.PUBLISHED)


def _grip(value: float) -> Figure:
    return Figure(
        value=value,
        unit="m",
        source=gettext_noop("no published distance was found"),
        status=Status.CONVENTION,
    )


HANDS: dict[Sex, Hand] = {
    "male": Hand(
        mass_share=_figure(0.0061, ""),
        length_m=_figure(0.0862, "m"),
        center_share=_figure(0.7900, ""),
        grip_m=_grip(0.080),
    ),
    "female": Hand(
        mass_share=_figure(0.0056, ""),
        length_m=_figure(0.0780, "m"),
        center_share=_figure(0.7474, ""),
        grip_m=_grip(0.075),
    ),
}

WRIST_EXTENSION_MEN = Figure(
    value=7.1,
    unit="N m",
    source="Delp, Grizzle & Buchanan 1996, abstract",
    status=Status.PUBLISHED,
    limits=gettext_noop("10 men, SD 2.1, range 3.4–9.4; no such figure for women was found."),
)


def wrist_torque_nm(load_kg: float, *, body_kg: float, sex: Sex, angle_deg: float = 0) -> float:
    """Return the torque at a supported wrist, palm down, in N m; largest with the hand level.

    `angle_deg` is the hand's angle to the horizontal. Raises ValueError for a load below 0, a body
    mass of 0 or less, or an angle outside −90 to 90.
    """
    if load_kg < 0 or body_kg <= 0:
        raise ValueError("a load must be 0 kg or more, a body above 0 kg")
    if not -90 <= angle_deg <= 90:
        raise ValueError(f"angle {angle_deg} is not in −90 to 90 degrees")
    hand = HANDS[sex]
    moment = load_kg * hand.grip_m.value + hand.mass_kg(body_kg) * hand.center_m
    return G * math.cos(math.radians(angle_deg)) * moment


def rotation_torque_nm(load_kg: float, *, lever_m: float, angle_deg: float = 90) -> float:
    """Return the torque of an offset weight on forearm rotation in N m: m g L sin θ.

    θ from the vertical; zero upright, largest when level. Half the lever is half the torque. Raises
    ValueError for a load or lever below 0, or an angle outside 0 to 180.
    """
    if load_kg < 0 or lever_m < 0:
        raise ValueError("load and lever must not be below 0")
    if not 0 <= angle_deg <= 180:
        raise ValueError(f"angle {angle_deg} is not in 0 to 180 degrees")
    return load_kg * G * lever_m * math.sin(math.radians(angle_deg))


def share_of_strength(torque_nm: float) -> float:
    """Return a wrist torque in % of the mean of ten men (see `WRIST_EXTENSION_MEN`).

    Raises ValueError for a torque below 0.
    """
    if torque_nm < 0:
        raise ValueError("a torque must not be below 0 N m")
    return 100 * torque_nm / WRIST_EXTENSION_MEN.value
