"""The wrist in a picture: which way is extension, where it goes, and what is refused."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.clinical.sides import Side
from cases.clinical.wrist_angle import (
    ArmPoints,
    Motion,
    Picture,
    Point,
    View,
    in_words,
    motion,
    wrist_angle,
)

CLOCKWISE = ArmPoints(forearm=Point(x=0, y=200), wrist=Point(x=0, y=100), knuckle=Point(x=50, y=50))
places = st.builds(Point, x=st.integers(0, 2000), y=st.integers(0, 2000))
arms = st.builds(ArmPoints, forearm=places, wrist=places, knuckle=places).filter(
    lambda arm: arm.forearm != arm.wrist != arm.knuckle
)


@pytest.mark.parametrize(
    ("arm", "seen_from", "mirrored"), list(itertools.product(Side, View, [False, True]))
)
def test_each_of_arm_view_and_mirror_turns_the_sign_round(arm, seen_from, mirrored):
    turned = [arm is Side.LEFT, seen_from is View.LITTLE_FINGER, mirrored].count(True)
    picture = Picture(arm=arm, seen_from=seen_from, mirrored=mirrored)

    assert wrist_angle(CLOCKWISE, picture) == pytest.approx(45 * (-1) ** turned)


def mirror(point: Point) -> Point:
    return Point(x=2000 - point.x, y=point.y)


@given(arms)
def test_a_mirrored_picture_of_the_same_arm_gives_the_same_angle(arm):
    mirrored = ArmPoints(
        forearm=mirror(arm.forearm), wrist=mirror(arm.wrist), knuckle=mirror(arm.knuckle)
    )

    straight = wrist_angle(arm, Picture(arm=Side.RIGHT))
    turned = wrist_angle(mirrored, Picture(arm=Side.RIGHT, mirrored=True))
    assert turned == pytest.approx(straight)


@given(arms)
def test_an_angle_lies_within_half_a_turn(arm):
    assert -180 < wrist_angle(arm, Picture(arm=Side.LEFT)) <= 180


@pytest.mark.parametrize("spoiled", [{"forearm": CLOCKWISE.wrist}, {"knuckle": CLOCKWISE.wrist}])
def test_two_points_on_one_place_are_refused(spoiled):
    points = ArmPoints(**(vars(CLOCKWISE) | spoiled))

    with pytest.raises(ValueError, match="three different places"):
        wrist_angle(points, Picture(arm=Side.RIGHT))


@pytest.mark.parametrize(
    ("contact", "after", "goes"),
    [
        (23, 30, Motion.INTO_EXTENSION),
        (-13, -20, Motion.INTO_FLEXION),
        (-13, -5, Motion.INTO_EXTENSION),
        (10, 10.4, Motion.STILL),
        (10, 10.5, Motion.INTO_EXTENSION),
        (10, 9.5, Motion.INTO_FLEXION),
    ],
)
def test_motion_goes_by_the_change_not_by_the_side(contact, after, goes):
    assert motion(contact, after) is goes


@pytest.mark.parametrize("angles", [(181, 0), (0, -181), (float("nan"), 0)])
def test_an_angle_beyond_half_a_turn_is_refused(angles):
    with pytest.raises(ValueError, match="beyond 180"):
        motion(*angles)


@pytest.mark.parametrize(
    ("angle", "words"),
    [
        (22.6, "23° extended"),
        (-13.4, "13° flexed"),
        (0.55, "1° extended"),
        (-0.55, "1° flexed"),
        (0.4, "straight"),
        (-0.4, "straight"),
    ],
)
def test_an_angle_is_said_in_whole_degrees(angle, words):
    assert str(in_words(angle)) == words
