"""The untreated course: what was observed, and that the quoted half-life does not give it."""

import pytest

from assessments.clinical.untreated import CONTROL_ARMS, UNTREATED, WAIT_AND_SEE
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
    # Quoted beside the 89 % of Ikonen 2022: 2.5 to 3 months. Computed: 1 − 2^(−12/h).
    [(3, 94), (2.5, 96)],
)
def test_no_curve_is_drawn_since_the_quoted_half_life_gives_more_than_was_observed(
    half_life, share
):
    by_half_life = 100 * (1 - 2 ** (-CONTROL_ARMS.at / half_life))

    assert round(by_half_life) == share
    assert by_half_life > CONTROL_ARMS.share.value + 4


def test_each_share_is_told_with_its_people_its_time_and_its_status():
    assert [str(at.sentence) for at in (CONTROL_ARMS, WAIT_AND_SEE)] == [
        "1085 people in the untreated or placebo groups of 24 trials: 89 % much better or recovered "
        "by 12 months (published, read second-hand).",
        "59 people who were left to wait and see: 83 % a success by the study's own rating by 52 "
        "weeks (from memory, not checked).",
    ]
