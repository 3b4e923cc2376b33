"""Recorded signs: counted, put into words, and held against the answers."""

import pytest

from cases.clinical.screening import BY_CODE, Answer, Change, GivenAnswer, changes
from cases.clinical.screening_readings import RecordedSign, disputed, read_groups, spots
from cases.clinical.screening_signs import (
    ELBOW_EXTENSION,
    GROUPS,
    NECK,
    NECK_FOUR_OF_FOUR,
    NECK_THREE_OF_FOUR,
    SIGNS,
    Outcome,
)
from cases.clinical.sides import Side


def neck(found: int, absent: int):
    codes = [sign.code for sign in NECK.signs]
    outcomes = [Outcome.FOUND] * found + [Outcome.ABSENT] * absent
    recorded = zip(codes, outcomes, strict=False)
    return [RecordedSign(code=code, outcome=outcome) for code, outcome in recorded]


def bent(*sides):
    found = {side: Outcome.FOUND for side in sides}
    return [
        RecordedSign(code="not-straight", side=side, outcome=found.get(side, Outcome.ABSENT))
        for side in Side
    ]


def test_signs_have_codes_of_their_own_and_groups_name_a_question():
    assert len(SIGNS) == sum(len(group.signs) for group in GROUPS)
    assert [group.question for group in GROUPS if group.question not in BY_CODE] == []
    assert [group.code for group in GROUPS if not 1 <= group.enough <= len(group.signs)] == []


def test_each_arm_has_its_own_extension():
    assert [side for _sign, side in spots(ELBOW_EXTENSION)] == [Side.RIGHT, Side.LEFT]


def test_nothing_looked_for_is_read_as_nothing():
    assert read_groups([]) == ()


@pytest.mark.parametrize(
    ("found", "absent", "sentence", "figures", "speaks"),
    [
        (4, 0, "4 of 4 found.", (NECK_FOUR_OF_FOUR,), True),
        (3, 1, "3 of 4 found.", (NECK_THREE_OF_FOUR,), True),
        (2, 2, "2 of 4 found; a figure is published for three and for four only.", (), False),
        (0, 4, "0 of 4 found; a figure is published for three and for four only.", (), False),
        (
            3,
            0,
            "3 of 3 found, 1 not tested: the published figures need all four.",
            (),
            True,
        ),
        (
            1,
            1,
            "1 of 2 found, 2 not tested: the published figures need all four.",
            (),
            False,
        ),
    ],
)
def test_the_neck_cluster_is_counted(found, absent, sentence, figures, speaks):
    (reading,) = read_groups(neck(found, absent))

    assert (str(reading.sentence), reading.figures) == (sentence, figures)
    assert reading.speaks_for_yes is speaks


@pytest.mark.parametrize(
    ("sides", "sentence"),
    [
        ([], "Straightens fully."),
        (
            [Side.LEFT],
            "Can't straighten fully (left). After an injury: X-ray, and no resisted tests before it.",
        ),
        (
            [Side.LEFT, Side.RIGHT],
            "Neither elbow straightens fully. After an injury: X-ray, and no resisted tests before it.",
        ),
    ],
)
def test_elbow_extension_is_said_by_side(sides, sentence):
    (reading,) = read_groups(bent(*sides))

    assert str(reading.sentence) == sentence
    assert reading.speaks_for_yes is bool(sides)


@pytest.mark.parametrize(
    ("answers", "count"), [({"fracture": "no"}, 1), ({"fracture": "yes"}, 0), ({}, 0)]
)
def test_only_a_no_is_disputed(answers, count):
    assert len(disputed(read_groups(bent(Side.RIGHT)), answers)) == count


def test_a_sign_that_is_none_is_refused():
    with pytest.raises(ValueError, match="no sign"):
        RecordedSign(code="aura", outcome=Outcome.FOUND)


@pytest.mark.parametrize(("code", "side"), [("not-straight", None), ("red", Side.LEFT)])
def test_a_sign_without_its_side_or_with_one_too_many_is_refused(code, side):
    with pytest.raises(ValueError, match="is recorded"):
        RecordedSign(code=code, outcome=Outcome.FOUND, side=side)


def test_a_sign_recorded_twice_is_refused():
    with pytest.raises(ValueError, match="twice"):
        read_groups([*neck(1, 0), *neck(1, 0)])


def given(**answers):
    return tuple(GivenAnswer(code=code, answer=Answer(answer)) for code, answer in answers.items())


def test_a_first_round_shows_what_is_not_a_plain_no():
    assert changes(None, given(fracture="no", snapping="yes")) == (
        Change(question=BY_CODE["snapping"], before=None, now=Answer.YES),
    )


def test_later_rounds_show_what_is_different():
    found = changes(given(fracture="yes", snapping="no"), given(fracture="no", snapping="no"))

    assert found == (Change(question=BY_CODE["fracture"], before=Answer.YES, now=Answer.NO),)


def test_a_question_that_was_left_out_is_a_change():
    found = changes(given(fracture="yes"), given(snapping="no"))

    assert [(change.before, change.now) for change in found] == [
        (Answer.YES, None),
        (None, Answer.NO),
    ]
