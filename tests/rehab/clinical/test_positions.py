import pytest

from cases.clinical.drawing import Role
from cases.clinical.sides import Side
from rehab.clinical.exercises import CARDS
from rehab.clinical.positions import BUILT, figure, scenes
from tests.cases.clinical.test_positions import extent

CODES = [card.code for card in CARDS]


def test_every_card_has_its_positions():
    assert sorted(BUILT) == sorted(CODES)


@pytest.mark.parametrize("code", CODES)
def test_start_and_end_of_a_card_are_told_apart_in_lines_and_in_words(code):
    start, end = (figure(code, phase, Side.RIGHT) for phase in ("start", "end"))

    assert str(start.alt) != str(end.alt)
    assert start.primitives != end.primitives


@pytest.mark.parametrize("phase", ["start", "end"])
@pytest.mark.parametrize("code", CODES)
def test_nothing_of_a_card_is_drawn_outside_the_box(code, phase):
    shown = figure(code, phase, Side.RIGHT)
    left, top, right, low = extent(shown)

    assert (left >= 0, top >= 0, right <= shown.box[0], low <= shown.box[1]) == (True,) * 4


@pytest.mark.parametrize("code", CODES)
def test_the_left_arm_of_a_card_is_the_right_one_in_a_mirror(code):
    right, left = (figure(code, "start", side) for side in (Side.RIGHT, Side.LEFT))
    flipped_left, _, flipped_right, _ = extent(left)

    assert (400 - flipped_right, 400 - flipped_left) == pytest.approx(extent(right)[::2])


def test_lifting_and_lowering_are_the_same_way_in_opposite_directions():
    lifted = [scene.angles.wrist_flexion for scene in scenes("lift-and-lower")]
    lowered = [scene.angles.wrist_flexion for scene in scenes("lower-slowly")]

    assert lifted == lowered[::-1]


def test_nobody_but_the_patient_is_in_a_home_exercise():
    drawn = {
        primitive.role
        for code in CODES
        for phase in ("start", "end")
        for primitive in figure(code, phase, Side.RIGHT).primitives
    }

    assert Role.HELPER not in drawn


def test_an_unknown_card_is_refused():
    with pytest.raises(ValueError, match="no exercise is called 'handstand'"):
        figure("handstand", "start", Side.RIGHT)
