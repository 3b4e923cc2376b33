import pytest

from cases.clinical.palpation import (
    DRAWN_HEIGHT,
    DRAWN_WIDTH,
    POINTS,
    Pressed,
    in_words,
    most_tender,
    tender,
)
from cases.clinical.sides import Side
from tests.cases.clinical.rounds import pressed, words


def test_the_five_points_are_named_and_lie_on_the_drawing():
    assert [point.name for point in POINTS] == [
        "supracondylar ridge",
        "lateral epicondyle",
        "1 cm distal and anterior",
        "radial head line",
        "3–5 cm distal",
    ]
    outside = [p for p in POINTS if not (0 < p.at[0] < DRAWN_WIDTH and 0 < p.at[1] < DRAWN_HEIGHT)]
    assert outside == []


def test_the_patient_finds_the_epicondyle_and_the_forearm_below_it():
    assert [p.code for p in POINTS if not p.needs_examiner] == ["epicondyle", "below"]


def test_a_point_counts_when_it_hurts_more_than_on_the_other_side():
    points = (*pressed(epicondyle=6, ridge=2, below=3), *pressed(Side.LEFT, epicondyle=1, ridge=2))

    assert tender(points, Side.RIGHT) == {"epicondyle": 6, "below": 3}


def test_points_that_hurt_alike_are_all_most_tender():
    points = pressed(epicondyle=5, distal_anterior=5, below=2)

    assert [p.code for p in most_tender(points, Side.RIGHT)] == ["epicondyle", "distal-anterior"]


def test_nothing_is_most_tender_when_nothing_hurts():
    assert most_tender(pressed(epicondyle=0), Side.RIGHT) == ()


def test_points_are_said_beside_the_other_side():
    points = (*pressed(epicondyle=6, below=2), *pressed(Side.LEFT, epicondyle=1))

    assert words(in_words(points, Side.RIGHT)) == [
        "lateral epicondyle: 6 of 10, other side 1.",
        "3–5 cm distal: 2 of 10, other side not pressed.",
    ]


@pytest.mark.parametrize(("point", "pain"), [("olecranon", 3), ("below", 11), ("below", -1)])
def test_an_impossible_point_is_refused(point, pain):
    with pytest.raises(ValueError, match=r"there is no point|is not from 0 to 10"):
        Pressed(point=point, side=Side.RIGHT, pain=pain)


def test_one_point_of_one_side_is_pressed_once():
    with pytest.raises(ValueError, match="two ratings"):
        tender((*pressed(below=1), *pressed(below=2)), Side.RIGHT)
