import pytest

from assessments.clinical.measures import BY_KEY
from assessments.clinical.pain import Context

GRIPPING = BY_KEY["pain_on_gripping"]


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
    assert GRIPPING.change(7, after).beyond_error is beyond


def test_a_first_rating_of_0_has_no_percent_rule():
    assert [row.met for row in GRIPPING.change(0, 3).important] == [False, None, False]
