"""Likelihood ratios, post-test values and score intervals against the printed and computed ones."""

import math

import pytest

from cases.clinical import likelihood
from cases.clinical.likelihood import (
    ELBOW_EXTENSION,
    GRIP_DIFFERENCE,
    NECK_FOUR_OF_FOUR,
    NECK_THREE_OF_FOUR,
    PublishedRatio,
    post_test_probability,
    wilson_interval,
)
from cases.clinical.screening_questions import ELBOW_EXTENSION_COUNTS, ELBOW_EXTENSION_SPECIFICITY
from clinic.evidence import Status

from .accuracy import likelihood_ratios


@pytest.mark.parametrize(
    ("count", "total", "low", "high"),
    [
        # Newcombe 1998 Stat Med 17:857–72, table I: read second-hand, in public tests that cite it.
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
        # Computed, not printed. Appelboam 2008 prints 0.950–0.982 for 521 of 538.
        (521, 538, 0.9500, 0.9802),
        # Computed: specificity of four people, as it may have been in Saroja 2014.
        (0, 4, 0.0000, 0.4899),
        (4, 4, 0.5101, 1.0000),
        # Computed from the counts of Regan & Lapner 2006 J Shoulder Elbow Surg 15:344–6.
        (7, 8, 0.5291, 0.9776),
        (3, 8, 0.1368, 0.6943),
        # Computed from Factor 2023 doi 10.3390/medicina59061159: 29, 26, 25 and 28 of 30.
        (29, 30, 0.833, 0.994),
        (26, 30, 0.703, 0.947),
        (25, 30, 0.664, 0.927),
        (28, 30, 0.787, 0.982),
    ],
)
def test_wilson_intervals_are_the_printed_ones(count, total, low, high):
    interval = wilson_interval(count, total)

    places = 3 if total == 30 else 4
    assert (round(interval.low, places), round(interval.high, places)) == (low, high)


@pytest.mark.parametrize(
    ("sensitivity", "specificity", "positive", "negative"),
    [
        # Saroja 2014 doi 10.16965/ijpr.2014.699 (sensitivity, specificity published; ratios computed).
        (0.84, 0.0, 0.84, None),
        (0.88, 0.0, 0.88, None),
        (0.53, 1.0, math.inf, 0.47),
        # Dorf 2007 doi 10.1016/j.jhsa.2007.04.010, 5 / 8 / 10 %: the split is from memory.
        (0.83, 0.80, 4.15, 0.21),
        (0.80, 0.85, 5.33, 0.24),
        (0.78, 0.90, 7.80, 0.24),
        # Caraguel & Vanderstichel 2013 Evid Based Med 18:125–8: printed 19 and 0.25, computed here.
        (0.75, 0.96, 18.75, 0.26),
        # Wainner 2003 Spine 28:52–62, 3 and 4 of 4, read second-hand: the rounded shares give ratios
        # near the printed 6.1 and 30.3, not these.
        (0.39, 0.94, 6.50, 0.65),
        (0.24, 0.99, 24.00, 0.77),
    ],
)
def test_likelihood_ratios_follow_from_the_printed_accuracy(
    sensitivity, specificity, positive, negative
):
    computed = likelihood_ratios(sensitivity, specificity)

    assert computed[0] == pytest.approx(positive, abs=0.005)
    assert computed[1] == (negative and pytest.approx(negative, abs=0.005))


@pytest.mark.parametrize(
    ("pre_test", "ratio", "expected"),
    [
        # Caraguel & Vanderstichel 2013: printed about 28 % and 0.6 % (read off a nomogram); computed.
        (0.02, 18.75, 0.27675),
        (0.02, 0.260417, 0.005287),
        (0.02, 0.25, 0.00508),
        # Wainner 2003: 3 of 4 → 65 %, 4 of 4 → 90 % (second-hand); 23 % and 6.1 from memory; computed.
        (0.23, 6.1, 0.645651),
        (0.23, 30.3, 0.900504),
        # Dorf 2007, from 50 %: computed from the ratios of each cut-off.
        (0.5, 0.83 / 0.20, 0.806),
        (0.5, 0.80 / 0.15, 0.842),
        (0.5, 0.78 / 0.10, 0.886),
        (0.5, 0.17 / 0.80, 0.175),
        (0.5, 0.20 / 0.85, 0.190),
        (0.5, 0.22 / 0.90, 0.196),
    ],
)
def test_post_test_values_are_the_computed_ones(pre_test, ratio, expected):
    tolerance = 0.0005 if pre_test == 0.5 else 0.000005
    assert post_test_probability(pre_test, ratio) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("neck", "printed_percent"), [(NECK_THREE_OF_FOUR, 65), (NECK_FOUR_OF_FOUR, 90)]
)
def test_the_neck_tests_take_23_percent_to_the_printed_value(neck, printed_percent):
    # Wainner 2003 Spine 28:52–62: the 23 % are from memory, the printed values second-hand.
    assert round(100 * post_test_probability(0.23, neck.positive.value)) == printed_percent


def test_elbow_extension_counts_give_the_ratios_and_the_gap_of_the_abstract():
    # Appelboam 2008 BMJ 337:a2428: counts published, ratios computed from them.
    counts = ELBOW_EXTENSION_COUNTS
    sensitivity = counts["can't straighten, fracture"] / (521 + 17)
    specificity = counts["can straighten, no fracture"] / (617 + 585)
    positive, negative = likelihood_ratios(sensitivity, specificity)

    assert positive == pytest.approx(1.88658, abs=0.00001)
    assert negative == pytest.approx(0.06493, abs=0.00001)
    assert ELBOW_EXTENSION.positive.value == pytest.approx(positive, abs=0.0005)
    assert ELBOW_EXTENSION.negative.value == pytest.approx(negative, abs=0.0005)
    # The abstract prints 48.5 %, its own counts give 48.7 %: a gap of 0.2 points.
    gap = 100 * specificity - ELBOW_EXTENSION_SPECIFICITY.value
    assert round(gap, 1) == 0.2
    assert "48.7 %, printed 48.5 %" in ELBOW_EXTENSION.positive.limits


def test_elbow_extension_predicts_no_fracture_as_printed():
    # Appelboam 2008, everybody: 585 of 602; computed 0.97176 (printed for adults alone: 98.4 %).
    before = 538 / 1740
    after = post_test_probability(before, (17 / 538) / (585 / 1202))

    assert 1 - after == pytest.approx(0.97176, abs=0.00001)


def test_grip_ratios_follow_from_the_accuracy_of_their_cut_off():
    # Dorf 2007: 83 / 80 / 78 % and 80 / 85 / 90 %, from memory.
    accuracy = ((0.83, 0.80), (0.80, 0.85), (0.78, 0.90))
    computed = [likelihood_ratios(*one) for one in accuracy]

    assert [(row.positive.value, row.negative.value) for row in GRIP_DIFFERENCE] == [
        (round(positive, 2), round(negative, 2)) for positive, negative in computed
    ]
    assert {row.positive.status for row in GRIP_DIFFERENCE} == {Status.FROM_MEMORY}


def test_only_findings_with_a_sound_ratio_have_one_and_it_shows_its_limits():
    alone = [row for row in vars(likelihood).values() if isinstance(row, PublishedRatio)]
    rows = [*alone, *GRIP_DIFFERENCE]
    assert [row.code for row in rows] == [
        "elbow-extension",
        "neck-three-of-four",
        "neck-four-of-four",
        "grip-difference-5",
        "grip-difference-8",
        "grip-difference-10",
    ]
    figures = [figure for row in rows for figure in (row.positive, row.negative) if figure]
    assert [figure for figure in figures if not figure.limits or not figure.source] == []


@pytest.mark.parametrize(
    ("pre_test", "ratio", "after"),
    [(0, 30.3, 0.0), (1, 0.0, 1.0), (0, math.inf, 0.0), (0.2, math.inf, 1.0), (0.2, 0.0, 0.0)],
)
def test_certainty_and_infinite_ratios_are_survived(pre_test, ratio, after):
    assert post_test_probability(pre_test, ratio) == after


@pytest.mark.parametrize(("pre_test", "ratio"), [(-0.1, 1), (1.1, 1), (0.5, -1), (0.5, math.nan)])
def test_an_impossible_probability_or_ratio_is_refused(pre_test, ratio):
    with pytest.raises(ValueError, match="is not"):
        post_test_probability(pre_test, ratio)


@pytest.mark.parametrize(("count", "total"), [(1, 0), (-1, 4), (5, 4)])
def test_an_impossible_count_has_no_interval(count, total):
    with pytest.raises(ValueError, match="is not a proportion"):
        wilson_interval(count, total)
