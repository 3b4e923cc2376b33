import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.clinical.measures import BY_KEY
from assessments.clinical.questionnaires.instrument import NotScorable
from assessments.clinical.questionnaires.tennis_elbow import (
    FUNCTION,
    ITEMS,
    PAIN,
    SPECIFIC,
    USUAL,
    score,
)

complete = st.lists(st.integers(0, 10), min_size=15, max_size=15).map(
    lambda values: dict(enumerate(values, start=1))
)


def all_fives(**missing):
    """Every item answered 5, but for the item numbers in `without`."""
    return {n: None if n in missing.get("without", ()) else 5 for n in range(1, 16)}


@given(complete)
def test_a_complete_form_scores_by_the_plain_formula(answers):
    result = score(answers)
    pain = sum(answers[n] for n in PAIN)
    function = (sum(answers[n] for n in SPECIFIC) + sum(answers[n] for n in USUAL)) / 2

    assert (result.pain, result.function) == pytest.approx((pain, function))
    assert 0 <= result.total <= 100
    assert result.filled_in == ()


@given(complete, st.sampled_from(range(1, 16)))
def test_a_worse_answer_never_lowers_the_total(answers, number):
    worse = answers | {number: 10}

    assert score(worse).total >= score(answers).total - 1e-9


def test_items_are_numbered_1_to_15_in_three_parts():
    assert [item.number for item in ITEMS] == list(range(1, 16))
    assert [*SPECIFIC, *USUAL] == list(FUNCTION)
    assert [str(ITEMS[i].label) for i in (0, 5, 11)] == [
        "Pain item 1",
        "Specific activity 1",
        "Usual activity 1",
    ]


@pytest.mark.parametrize("without", [(1,), (6, 15), (5, 6, 12)])
def test_a_few_missing_items_take_the_mean_of_their_scale(without):
    result = score(all_fives(without=without))

    assert (result.pain, result.function, result.total) == (25, 25, 50)
    assert result.filled_in == without


def test_an_absent_item_is_a_missing_item():
    answers = {n: 5 for n in range(2, 16)}

    assert score(answers).filled_in == (1,)


@pytest.mark.parametrize(
    ("without", "reason"),
    [
        ((1, 2), "2 of 5 pain items are missing; at most 1 may be."),
        ((6, 7, 12), "3 of 10 function items are missing; at most 2 may be."),
        (tuple(range(1, 16)), "5 of 5 pain items are missing; at most 1 may be."),
    ],
)
def test_too_many_missing_items_are_not_scored(without, reason):
    with pytest.raises(NotScorable) as refusal:
        score(all_fives(without=without))

    assert str(refusal.value.reason) == reason


@pytest.mark.parametrize(
    ("answers", "message"),
    [
        ({16: 1}, "no item 16"),
        ({1: 11}, "item 1: 11 is not from 0 to 10"),
        ({1: -1}, "item 1: -1 is not from 0 to 10"),
        ({1: 2.5}, "item 1: 2.5 is not a whole number"),
        ({1: True}, "item 1: True is not a whole number"),
    ],
)
def test_impossible_answers_are_refused(answers, message):
    with pytest.raises(ValueError, match=message):
        score(answers)


@pytest.mark.parametrize(("after", "beyond"), [(40.3, False), (40.2, True)])
def test_a_total_changes_beyond_error_by_more_than_the_figure(after, beyond):
    assert BY_KEY["prtee"].change(50, after).beyond_error is beyond
