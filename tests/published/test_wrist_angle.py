"""Wrist angles for known points, and the group means against the printed ones."""

import math

import pytest

from cases.clinical.sides import Side
from cases.clinical.wrist_angle import (
    EXPERTS,
    NOVICES,
    ArmPoints,
    Motion,
    Picture,
    Point,
    in_words,
    wrist_angle,
)


def bent_by(degrees: float) -> ArmPoints:
    """A right arm from the thumb side, forearm upward in the picture, the hand turned clockwise."""
    turn = math.radians(degrees)
    return ArmPoints(
        forearm=Point(x=500, y=900),
        wrist=Point(x=500, y=500),
        knuckle=Point(x=500 + 200 * math.sin(turn), y=500 - 200 * math.cos(turn)),
    )


@pytest.mark.parametrize("degrees", [-90, -13, -0.22, 0, 1, 23, 90, 179])
def test_points_of_a_known_angle_give_that_angle(degrees):
    assert wrist_angle(bent_by(degrees), Picture(arm=Side.RIGHT)) == pytest.approx(degrees)


@pytest.mark.parametrize(
    ("knuckle", "degrees"),
    [((500, 300), 0), ((700, 300), 45), ((300, 300), -45), ((700, 500), 90), ((500, 700), 180)],
)
def test_points_on_a_grid_give_whole_eighths_of_a_turn(knuckle, degrees):
    # Computed by hand: forearm straight up, hand on a grid of 200 pixels.
    points = ArmPoints(
        forearm=Point(x=500, y=900),
        wrist=Point(x=500, y=500),
        knuckle=Point(x=knuckle[0], y=knuckle[1]),
    )

    assert wrist_angle(points, Picture(arm=Side.RIGHT)) == pytest.approx(degrees)


def test_the_means_are_the_printed_ones():
    # Blackwell & Cole 1994 J Biomech 27:509–16: experts extended 0.41 rad, novices flexed 0.22 rad.
    assert (EXPERTS.known.value, EXPERTS.known.unit, EXPERTS.players) == (0.41, "rad", 8)
    assert (NOVICES.known.value, NOVICES.known.unit, NOVICES.players) == (0.22, "rad", 8)
    assert (EXPERTS.motion, NOVICES.motion) == (Motion.INTO_EXTENSION, Motion.INTO_FLEXION)


def test_the_means_are_about_23_and_13_degrees():
    # Computed: 0.41 rad = 23.49°, 0.22 rad = 12.61°.
    assert str(in_words(EXPERTS.angle_deg)) == "23° extended"
    assert str(in_words(NOVICES.angle_deg)) == "13° flexed"
