"""Pain changes against the published rules."""

import pytest

from assessments.clinical.measures import BY_KEY
from assessments.clinical.pain import PAIN_ERROR, PERCENT_RULE, POINTS_RULE, TENNIS_ELBOW_RULE

GRIPPING = BY_KEY["pain_on_gripping"]


def test_the_rules_are_the_printed_ones():
    # Farrar 2001 Pain 94:149–58: −2.0 points or −30 %.
    assert (POINTS_RULE.figure.value, PERCENT_RULE.figure.value) == (2.0, 30)
    # Physiother Theory Pract 2025, doi 10.1080/09593985.2025.2450090: MCID 2.3, MDC90 1.4.
    assert (TENNIS_ELBOW_RULE.figure.value, PAIN_ERROR.value) == (2.3, 1.4)


@pytest.mark.parametrize(
    ("before", "after", "percent", "points_met", "percent_met"),
    # Computed from Farrar 2001.
    [(6, 4, -33.3, True, True), (8, 6, -25.0, True, False), (3, 2, -33.3, False, True)],
)
def test_the_two_rules_disagree_where_they_should(before, after, percent, points_met, percent_met):
    change = GRIPPING.change(before, after)
    met = {row.name: row.met for row in change.important}

    assert change.percent == pytest.approx(percent, abs=0.05)
    assert (met[POINTS_RULE.name], met[PERCENT_RULE.name]) == (points_met, percent_met)


@pytest.mark.parametrize(("after", "met"), [(5, False), (4, True)])
def test_the_tennis_elbow_figure_takes_three_whole_points(after, met):
    # Computed from 2.3 points, doi 10.1080/09593985.2025.2450090.
    change = GRIPPING.change(7, after)

    assert {row.name: row.met for row in change.important}[TENNIS_ELBOW_RULE.name] is met
