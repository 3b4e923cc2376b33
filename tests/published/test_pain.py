"""Pain changes against the published rules."""

import pytest

from assessments.clinical.measures import BY_KEY
from assessments.clinical.pain import PERCENT_RULE, POINTS_RULE, TENNIS_ELBOW_RULE

GRIPPING = BY_KEY["pain_on_gripping"]


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
