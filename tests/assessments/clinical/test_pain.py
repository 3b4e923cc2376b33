import pytest

from assessments.clinical.pain import Context, check, pain_change


@pytest.mark.parametrize("value", range(11))
def test_whole_numbers_from_0_to_10_are_pain_ratings(value):
    assert check(value) == value


@pytest.mark.parametrize("value", [-1, 11, 2.5, 3.0, True, None, "4"])
def test_anything_else_is_refused(value):
    with pytest.raises(ValueError, match="is not a whole number from 0 to 10"):
        check(value)


def test_each_context_has_a_label():
    assert [label for _, label in Context.choices()] == [
        "at rest",
        "worst in 24 h",
        "on gripping",
        "during exercise",
        "next morning",
    ]


@pytest.mark.parametrize(("after", "beyond"), [(6, False), (5, True), (8, False), (9, True)])
def test_one_point_is_within_the_error_and_two_are_not(after, beyond):
    assert pain_change(7, after).beyond_error is beyond


def test_a_first_rating_of_0_has_no_percent_rule():
    assert [row.met for row in pain_change(0, 3).important] == [False, None, False]


def test_a_change_refuses_what_is_not_a_rating():
    with pytest.raises(ValueError, match="pain 12"):
        pain_change(12, 3)
