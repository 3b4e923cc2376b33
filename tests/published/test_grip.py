"""Grip strength against published figures and worked values."""

import pytest

from assessments.clinical.dominance import (
    DominanceFormula,
    expected_ratio,
)
from assessments.clinical.force import Unit, from_newtons, to_newtons
from assessments.clinical.grip import (
    Effort,
    Position,
    elbow_difference,
    grip_change,
    grip_error,
    mean_n,
    ratio,
    summarize,
)
from assessments.clinical.grip_results import pain_free_shares
from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_STRAIGHT
from cases.clinical.sides import Handedness, Side


@pytest.mark.parametrize(
    ("position", "within_visit", "trials", "mdc95_n", "mdc95_kgf"),
    # Hill, Heales, Stanton, Kean 2023 Physiother Theory Pract 39(5):1007–15; kgf computed from N.
    [
        (Position.BENT, False, 1, 133, 13.56),
        (Position.BENT, False, 3, 90, 9.18),
        (Position.STRAIGHT, False, 1, 118, 12.03),
        (Position.STRAIGHT, False, 3, 92, 9.38),
        (Position.BENT, True, 1, 79, 8.06),
        (Position.BENT, True, 3, 52, 5.30),
        (Position.STRAIGHT, True, 1, 125, 12.75),
        (Position.STRAIGHT, True, 3, 46, 4.69),
    ],
)
def test_least_real_change_of_pain_free_grip_is_the_printed_one(
    position, within_visit, trials, mdc95_n, mdc95_kgf
):
    figure = grip_error(position, within_visit=within_visit, trials=trials)

    assert figure.value == mdc95_n
    assert from_newtons(figure.value, Unit.KGF) == pytest.approx(mdc95_kgf, abs=0.005)


def test_mean_of_three_trials_agrees_with_the_worked_value():
    # Computed from the protocol (mean of three), no published example.
    mean = mean_n((118, 126, 121))

    assert mean == pytest.approx(121.6667, abs=0.0001)
    assert from_newtons(mean, Unit.KGF) == pytest.approx(12.4065, abs=0.0001)
    assert ratio(mean, 310) == pytest.approx(0.392, abs=0.0005)


@pytest.mark.parametrize(
    ("follow_up", "mean", "amount", "beyond_error"),
    # Computed from the 92 N of Hill et al. 2023.
    [((210, 218, 217), 215.0, 93.33, True), ((205, 212, 210), 209.0, 87.33, False)],
)
def test_a_change_is_real_when_it_is_more_than_92_n(follow_up, mean, amount, beyond_error):
    first = mean_n((118, 126, 121))
    change = grip_change(first, mean_n(follow_up), Position.STRAIGHT, within_visit=False, trials=3)

    assert change.after == mean
    assert change.amount == pytest.approx(amount, abs=0.005)
    assert change.beyond_error is beyond_error


@pytest.mark.parametrize(
    ("value", "unit", "newtons"),
    # Standard gravity 9.80665 m/s² and the international pound 0.45359237 kg, both exact.
    [(1, Unit.KGF, 9.80665), (1, Unit.LBF, 4.4482216152605), (170, Unit.N, 170)],
)
def test_units_convert_by_definition(value, unit, newtons):
    assert to_newtons(value, unit) == pytest.approx(newtons, rel=1e-12)


@pytest.mark.parametrize(
    ("newtons", "kgf"),
    # Bisset 2006 Arch Phys Med Rehabil 87:490–5 prints 170 N (144–195); kgf computed from it.
    [(170, 17.3), (144, 14.7), (195, 19.9)],
)
def test_the_published_deficit_converts_to_kilograms(newtons, kgf):
    assert from_newtons(newtons, Unit.KGF) == pytest.approx(kgf, abs=0.05)


@pytest.mark.parametrize(
    ("formula", "dominant_kgf"),
    # Computed from Petersen 1989: a non-dominant hand of 40.0 kg under both readings of 12.72 %.
    [(DominanceFormula.OF_NON_DOMINANT, 45.09), (DominanceFormula.OF_DOMINANT, 45.83)],
)
def test_the_two_readings_of_the_dominance_figure_differ(formula, dominant_kgf):
    expected = 40.0 * expected_ratio(Handedness.RIGHT, Side.RIGHT, formula)

    assert expected == pytest.approx(dominant_kgf, abs=0.005)


@pytest.mark.parametrize("handedness", [Handedness.LEFT, Handedness.BOTH, Handedness.UNSTATED])
@pytest.mark.parametrize("side", list(Side))
def test_left_handers_are_expected_to_be_equal(handedness, side):
    # Petersen 1989: treat left-handers as equal.
    assert expected_ratio(handedness, side) == 1.0


def test_one_pair_of_forces_gives_two_elbow_differences():
    # Dorf 2007 J Hand Surg Am 32(6):882–6: 29 % stronger bent than straight; 22.5 % computed.
    difference = elbow_difference(straight_n=100, bent_n=129)

    assert difference.percent_of_straight == pytest.approx(29)
    assert difference.percent_of_bent == pytest.approx(22.5, abs=0.05)


def test_pain_free_grip_as_a_share_of_the_unaffected_maximum():
    # Normalized as in Cooke 2021; 118, 126 and 121 N of 310 N computed.
    trials = {
        (PAIN_FREE_STRAIGHT, Side.RIGHT): (118.0, 126.0, 121.0),
        (MAXIMAL_BENT, Side.LEFT): (310.0,),
    }

    (share,) = pain_free_shares(trials, affected=Side.RIGHT)

    assert share.of_other == pytest.approx(39.2, abs=0.05)


def test_the_adjusted_ratio_under_both_readings_of_petersens_figure():
    # Petersen 1989, 12.72 %: two hands as strong as expected give 1 under the reading they follow.
    sides = {"affected_side": Side.RIGHT, "handedness": Handedness.RIGHT}
    way = {"position": Position.BENT, "effort": Effort.MAXIMAL}
    of_non_dominant = summarize((450.9,), (400.0,), **sides, **way)
    of_dominant = summarize((458.3,), (400.0,), **sides, **way)

    assert of_non_dominant.adjusted_ratio == pytest.approx(1, abs=0.0005)
    assert of_dominant.adjusted_ratio_of_dominant == pytest.approx(1, abs=0.0005)
