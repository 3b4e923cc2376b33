"""The untreated course: what was observed, and that the quoted half-life does not give it."""

import pytest

from assessments.clinical.untreated import (
    CONTROL_ARMS,
    HALF_LIFE_MONTHS,
    UNTREATED,
    WAIT_AND_SEE,
    by_half_life,
    why_no_curve,
)
from clinic.evidence import Status


def test_the_observed_shares_are_the_printed_ones_with_their_status():
    # Ikonen 2022 doi 10.1097/CORR.0000000000002058 (numbers second-hand); Smidt 2002 Lancet 359:657–62
    # (from memory).
    found = [(at.share.value, at.at, at.unit, at.share.status) for at in UNTREATED]

    assert found == [
        (89, 12, "months", Status.SECOND_HAND),
        (83, 52, "weeks", Status.FROM_MEMORY),
    ]
    assert [at.weeks for at in UNTREATED] == [52, 52]


@pytest.mark.parametrize(
    ("half_life", "share"),
    # Computed from 1 − 2^(−12/h); 3.77 months would be needed for the 89 %.
    [(3, 93.75), (2.5, 96.4), (3.77, 89.0)],
)
def test_the_half_life_gives_more_than_was_observed(half_life, share):
    assert by_half_life(12, half_life) == pytest.approx(share, abs=0.05)


def test_both_ends_of_the_half_life_overshoot():
    for half_life in HALF_LIFE_MONTHS:
        assert by_half_life(CONTROL_ARMS.at, half_life.value) > CONTROL_ARMS.share.value + 4


def test_the_page_says_why_there_is_no_curve():
    assert str(why_no_curve()) == (
        "Only what was observed is shown. The half-life of 2.5 to 3 months that is quoted with it "
        "would give 94 to 96 % after 12 months, more than the 89 % that were observed, so no curve "
        "is drawn from it."
    )


def test_each_share_is_told_with_its_people_its_time_and_its_status():
    assert [str(at.sentence) for at in (CONTROL_ARMS, WAIT_AND_SEE)] == [
        "1085 people in the untreated or placebo groups of 24 trials: 89 % much better or recovered "
        "by 12 months (published, read second-hand).",
        "59 people who were left to wait and see: 83 % a success by the study's own rating by 52 "
        "weeks (from memory, not checked).",
    ]


@pytest.mark.parametrize(("months", "half_life"), [(-1, 3), (12, 0)])
def test_a_time_or_a_half_life_that_can_not_be_is_refused(months, half_life):
    with pytest.raises(ValueError, match="no share"):
        by_half_life(months, half_life)
