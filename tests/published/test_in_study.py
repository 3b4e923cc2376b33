"""How many of 100 people of a study had a condition, against its own counts and printed shares."""

import pytest

from cases.clinical.in_study import ELBOW_EXTENSION_IN_STUDY, NECK_IN_STUDY, of_100
from clinic.evidence import Figure, Status

from .accuracy import likelihood_ratios


def after(study):
    return [(row.result, row.after) for row in study.results]


def test_elbow_extension_in_100_people_is_what_the_printed_counts_give():
    # Appelboam 2008 BMJ 337:a2428: 538 fractures of 1740; 521 of 1138 who can't straighten, 17 of 602
    # who can. Computed, not printed.
    assert ELBOW_EXTENSION_IN_STUDY.before.value == round(100 * 538 / 1740, 1)
    assert after(ELBOW_EXTENSION_IN_STUDY) == [
        ("Can't straighten fully", round(100 * 521 / 1138)),
        ("Straightens fully", round(100 * 17 / 602)),
    ]


def test_the_neck_tests_in_100_people_are_the_printed_shares():
    # Wainner 2003 Spine 28:52–62: 65 % and 90 % second-hand, 23 % before from memory.
    assert (NECK_IN_STUDY.before.value, NECK_IN_STUDY.before.status) == (23, Status.FROM_MEMORY)
    assert after(NECK_IN_STUDY) == [("Three found", 65), ("Four found", 90)]


def test_the_intervals_show_how_little_82_people_carry():
    # Computed from 23 % and the ends of the intervals, 2.0–18.6 and, as printed, 1.7–38.2.
    assert [(row.low, row.high) for row in NECK_IN_STUDY.results] == [(37, 85), (34, 92)]
    printed = [row.ratio.limits.split(";")[0] for row in NECK_IN_STUDY.results]
    assert printed == ["interval 2.0–18.6", "interval printed 1.7–38.2"]


@pytest.mark.parametrize(
    ("sensitivity", "specificity", "of_a_hundred"),
    # Saroja 2014 doi 10.16965/ijpr.2014.699: specificity of 1 and of 0.
    [(0.53, 1.0, 100), (0.84, 0.0, 16)],
)
def test_a_specificity_of_one_or_nought_is_survived(sensitivity, specificity, of_a_hundred):
    positive, _negative = likelihood_ratios(sensitivity, specificity)
    before = Figure(value=19, unit="of 100", source="none", status=Status.COMPUTED)

    assert of_100(before, positive) == of_a_hundred
