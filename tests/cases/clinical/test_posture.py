import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.clinical.body import Trunk
from cases.clinical.hand import KNUCKLES, THUMB, fingers
from cases.clinical.posture import (
    FINGER_LIMITS,
    FOREARM,
    LIMITS,
    UPPER_ARM,
    Angles,
    Frame,
    arm,
    dot,
    minus,
    reach,
)

HANGING = Frame((0.0, 0.0, 0.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
LEFT = Frame((0.0, 0.0, 0.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))

any_angles = st.builds(
    Angles,
    **{name: st.floats(*limits) for name, limits in LIMITS.items()},
    fingers=st.tuples(*[st.floats(*FINGER_LIMITS)] * 5),
)


def near(*vector):
    return pytest.approx(vector, abs=1e-9)


def test_the_arm_hangs_straight_with_the_thumb_forward_at_zero():
    posed = arm(HANGING, Angles())

    assert posed.elbow.at == near(0, 0, -UPPER_ARM)
    assert posed.hand.at == near(0, 0, -UPPER_ARM - FOREARM)
    assert posed.hand.along == near(0, 0, -1)
    assert posed.hand.thumb == near(1, 0, 0)
    assert posed.hand.palm == near(0, 1, 0)


@pytest.mark.parametrize("degrees", [0, 30, 90, 135])
def test_the_elbow_puts_the_wrist_where_trigonometry_says(degrees):
    posed = arm(HANGING, Angles(elbow_flexion=degrees))
    bend = math.radians(degrees)

    forward, down = FOREARM * math.sin(bend), UPPER_ARM + FOREARM * math.cos(bend)
    assert posed.hand.at == near(forward, 0, -down)


@pytest.mark.parametrize(
    ("angles", "along"),
    [
        ({"shoulder_flexion": 90}, (1, 0, 0)),
        ({"shoulder_abduction": 90}, (0, -1, 0)),
        ({"shoulder_flexion": 90, "shoulder_abduction": 90}, (0, -1, 0)),
        ({"elbow_flexion": 90, "shoulder_rotation": 90}, (0, -1, 0)),
        ({"elbow_flexion": 90, "pronation": 90, "wrist_flexion": 90}, (0, 0, -1)),
        ({"elbow_flexion": 90, "pronation": 90, "wrist_flexion": -90}, (0, 0, 1)),
        ({"elbow_flexion": 90, "pronation": 90, "radial_deviation": 30}, (3**0.5 / 2, 0.5, 0)),
    ],
)
def test_each_joint_turns_the_hand_its_own_way(angles, along):
    assert arm(HANGING, Angles(**angles)).hand.along == near(*along)


@pytest.mark.parametrize(
    ("pronation", "palm", "thumb"),
    [(90, (0, 0, -1), (0, 1, 0)), (0, (0, 1, 0), (0, 0, 1)), (-90, (0, 0, 1), (0, -1, 0))],
)
def test_the_forearm_turns_palm_and_thumb_at_a_bent_elbow(pronation, palm, thumb):
    hand = arm(HANGING, Angles(elbow_flexion=90, pronation=pronation)).hand

    assert (hand.palm, hand.thumb) == (near(*palm), near(*thumb))


@given(any_angles)
def test_segments_keep_their_length_whatever_the_angles(angles):
    posed = arm(HANGING, angles)

    assert math.dist(posed.shoulder.at, posed.elbow.at) == pytest.approx(UPPER_ARM)
    assert math.dist(posed.elbow.at, posed.hand.at) == pytest.approx(FOREARM)


@given(any_angles)
def test_bones_of_the_fingers_keep_their_length_whatever_the_angles(angles):
    digits = fingers(arm(HANGING, angles).hand, angles.fingers, spread=8)

    lengths = [
        pytest.approx([math.dist(*pair) for pair in zip(d.joints, d.joints[1:], strict=False)])
        for d in digits
    ]
    printed = [[bone for bone, *_ in THUMB], *(list(bones) for _, _, bones, _ in KNUCKLES.values())]
    assert lengths == printed


@given(any_angles)
def test_the_hand_keeps_its_three_directions_at_right_angles(angles):
    hand = arm(HANGING, angles).hand

    products = (
        dot(hand.along, hand.thumb),
        dot(hand.thumb, hand.palm),
        dot(hand.palm, hand.along),
    )
    assert products == near(0, 0, 0)


@given(any_angles)
def test_a_left_arm_is_the_mirror_of_the_right(angles):
    right, left = arm(HANGING, angles).hand.at, arm(LEFT, angles).hand.at

    assert left == near(right[0], -right[1], right[2])


def test_fingers_at_zero_lie_in_the_line_of_the_hand():
    hand = arm(HANGING, Angles()).hand

    heights = [
        dot(minus(point, hand.at), hand.palm)
        for d in fingers(hand, (0,) * 5)[1:]
        for point in d.joints
    ]
    assert heights == pytest.approx([0] * 16)


@pytest.mark.parametrize("name", LIMITS)
def test_an_angle_beyond_its_limit_is_refused(name):
    with pytest.raises(ValueError, match=name):
        Angles(**{name: LIMITS[name][1] + 1})


@pytest.mark.parametrize("flexion", [(0,) * 4, (0, 0, 0, 0, 101)])
def test_a_hand_with_other_fingers_is_refused(flexion):
    with pytest.raises(ValueError, match="fingers"):
        Angles(fingers=flexion)


@given(st.floats(0.1, 0.53), st.floats(-1, 1))
def test_a_reaching_arm_keeps_its_lengths(distance, aside):
    elbow = reach((0, 0, 0), (distance, 0, 0), (aside, 1, 0))

    assert math.dist((0, 0, 0), elbow) == pytest.approx(UPPER_ARM)
    assert math.dist(elbow, (distance, 0, 0)) == pytest.approx(FOREARM)


def test_a_wrist_out_of_reach_is_refused():
    with pytest.raises(ValueError, match="out of reach"):
        reach((0, 0, 0), (UPPER_ARM + FOREARM + 0.01, 0, 0), (0, 1, 0))


def test_a_leaning_trunk_takes_the_shoulder_forward_and_down():
    upright, leaning = Trunk().shoulder(left=False).at, Trunk(lean=30).shoulder(left=False).at

    assert leaning == near(upright[2] * 0.5, upright[1], upright[2] * 3**0.5 / 2)
