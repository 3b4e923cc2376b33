import math

import pytest

from cases.clinical.battery_optional import MANEUVERS
from cases.clinical.drawing import Circle, Figure, Outline, Role
from cases.clinical.positions import BUILT, figure, scenes
from cases.clinical.sides import Side

PHASES = ("start", "end")
MEASURED = {"grip-straight", "grip-bent", "grip-bent-palm-down"}


def extent(shown: Figure):
    """Return the corners of everything that a figure draws."""
    points = []
    for primitive in shown.primitives:
        if isinstance(primitive, Circle):
            (x, y), radius = primitive.center, primitive.radius
            points += [(x - radius, y - radius), (x + radius, y + radius)]
        elif isinstance(primitive, Outline):
            points += [point for part in primitive.parts for point in part]
        else:
            points += primitive.points
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def roles(code, phase):
    return {primitive.role for primitive in figure(code, phase, Side.RIGHT).primitives}


def test_every_test_of_the_battery_and_each_finger_has_its_positions():
    one_finger = {f"{test.code}-{finger}" for test in MANEUVERS for finger in test.fingers}

    assert set(BUILT) == {test.code for test in MANEUVERS} | one_finger | MEASURED


@pytest.mark.parametrize("code", BUILT)
def test_start_and_end_are_told_apart_in_lines_and_in_words(code):
    start, end = (figure(code, phase, Side.RIGHT) for phase in PHASES)

    assert str(start.alt) != str(end.alt)
    assert start.primitives != end.primitives


@pytest.mark.parametrize("phase", PHASES)
@pytest.mark.parametrize("code", BUILT)
def test_nothing_is_drawn_outside_the_box(code, phase):
    shown = figure(code, phase, Side.RIGHT)
    left, top, right, low = extent(shown)

    assert (left >= 0, top >= 0, right <= shown.box[0], low <= shown.box[1]) == (True,) * 4


@pytest.mark.parametrize("code", BUILT)
def test_the_left_arm_is_the_right_one_in_a_mirror(code):
    right, left = (figure(code, "end", side) for side in (Side.RIGHT, Side.LEFT))
    flipped_left, _, flipped_right, _ = extent(left)

    assert [p.role for p in left.primitives] == [p.role for p in right.primitives]
    assert (400 - flipped_right, 400 - flipped_left) == pytest.approx(extent(right)[::2])


@pytest.mark.parametrize(
    "code", ["passive-stretch", "wrist-extension", "supination", "finger-extension"]
)
def test_the_end_of_a_test_shows_the_examiner_and_the_force(code):
    assert {Role.HELPER, Role.FORCE} <= roles(code, "end")
    assert Role.FORCE not in roles(code, "start")


def test_the_alternative_text_says_the_angles_and_what_is_done():
    shown = figure("wrist-extension", "end", Side.LEFT)

    assert str(shown.alt) == (
        "Left arm: elbow at a right angle, palm down, wrist bent back, hand closed. "
        "The examiner presses the back of the hand down, the patient holds it up."
    )


@pytest.mark.parametrize("finger", [2, 3, 4, 5])
def test_only_the_finger_that_is_pressed_is_lifted(finger):
    held = scenes(f"finger-extension-{finger}")[1].angles.fingers

    assert [number for number, flexion in enumerate(held, start=1) if flexion < 0] == [finger]


def test_an_unknown_test_is_refused():
    with pytest.raises(ValueError, match="no test is called 'handstand'"):
        figure("handstand", "start", Side.RIGHT)


def test_an_unknown_phase_is_refused():
    with pytest.raises(ValueError, match="neither start nor end"):
        figure("palpation", "middle", Side.RIGHT)


def test_the_passive_stretch_bends_only_the_wrist():
    start, end = (scene.angles for scene in scenes("passive-stretch"))

    assert end == start.with_(wrist_flexion=end.wrist_flexion)
    assert math.isclose(end.wrist_flexion, 72)
