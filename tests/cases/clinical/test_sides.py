import pytest

from cases.clinical.sides import Handedness, Side


@pytest.mark.parametrize("side", list(Side))
def test_the_other_side_of_the_other_side_is_this_one(side):
    assert side.other is not side
    assert side.other.other is side


def test_a_side_is_read_back_from_what_is_stored():
    assert (Side("left"), Side.LEFT.label, str(Side.LEFT)) == (Side.LEFT, "left", "left")


def test_handedness_has_words_for_people_who_use_both():
    assert Handedness.choices() == [
        ("right", "right-handed"),
        ("left", "left-handed"),
        ("both", "uses both hands alike"),
        ("unset", "handedness not stated"),
    ]
