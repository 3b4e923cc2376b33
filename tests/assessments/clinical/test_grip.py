import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.clinical.dominance import expected_ratio
from assessments.clinical.force import NEWTONS_PER, Unit, from_newtons, to_newtons
from assessments.clinical.grip import (
    GRIP_ERRORS,
    SPREAD_LIMIT,
    Effort,
    Position,
    deficit_n,
    deficit_percent,
    elbow_difference,
    grip_change,
    grip_error,
    mean_n,
    pain_free_share,
    ratio,
    scattered,
    spread,
    summarize,
)
from cases.clinical.sides import Handedness, Side

forces_n = st.floats(min_value=0, max_value=1000)
trials_n = st.lists(forces_n, min_size=1, max_size=3).map(tuple)
some_force_n = st.floats(min_value=1, max_value=1000)


def result(affected=(120, 126, 123), other=(300, 310, 305), **changes):
    """A right-hander's sore right arm, pain-free with the elbow straight, but for `changes`."""
    usual = {
        "affected_side": Side.RIGHT,
        "handedness": Handedness.RIGHT,
        "position": Position.STRAIGHT,
        "effort": Effort.PAIN_FREE,
    }
    return summarize(affected, other, **(usual | changes))


@given(st.floats(min_value=0, max_value=300), st.sampled_from(Unit))
def test_a_reading_survives_the_way_to_newtons_and_back(value, unit):
    assert from_newtons(to_newtons(value, unit), unit) == pytest.approx(value)


@given(trials_n)
def test_the_mean_lies_between_the_smallest_and_the_largest_trial(trials):
    assert min(trials) - 1e-9 <= mean_n(trials) <= max(trials) + 1e-9


@given(some_force_n, some_force_n, st.sampled_from(Unit))
def test_a_ratio_is_the_same_in_every_unit(affected, other, unit):
    in_unit = ratio(from_newtons(affected, unit), from_newtons(other, unit))

    assert in_unit == pytest.approx(ratio(affected, other))


@given(st.sampled_from(Handedness), st.sampled_from(Side))
def test_swapping_the_sides_inverts_the_expected_ratio(handedness, side):
    product = expected_ratio(handedness, side) * expected_ratio(handedness, side.other)

    assert product == pytest.approx(1)


@given(some_force_n, some_force_n)
def test_the_deficit_in_percent_and_in_newtons_say_the_same(affected, other):
    assert deficit_percent(affected, other) / 100 * other == pytest.approx(
        deficit_n(affected, other), abs=1e-9
    )


def test_every_unit_has_a_factor_and_a_word():
    assert list(NEWTONS_PER) == list(Unit)
    assert [unit.shown for unit in Unit] == ["N", "kg", "lb"]


def test_the_error_table_has_one_row_for_each_position_interval_and_count():
    rows = [(row.position, row.within_visit, row.trials) for row in GRIP_ERRORS]

    assert sorted(rows) == sorted(
        (position, within, trials)
        for position in Position
        for within in (False, True)
        for trials in (1, 3)
    )


@pytest.mark.parametrize("value", [-0.1, float("nan"), float("inf")])
def test_a_broken_reading_is_refused(value):
    with pytest.raises(ValueError, match="is not a reading"):
        to_newtons(value, Unit.KGF)
    with pytest.raises(ValueError, match="is not a force"):
        from_newtons(value, Unit.KGF)


@pytest.mark.parametrize("trials", [(), (1, 2, 3, 4)])
def test_a_test_has_one_to_three_trials(trials):
    with pytest.raises(ValueError, match="1 to 3 trials"):
        mean_n(trials)


@pytest.mark.parametrize("trial", [-1, 1000.1, float("nan")])
def test_an_impossible_trial_is_refused(trial):
    with pytest.raises(ValueError, match="is not between 0 and 1000 N"):
        mean_n((100, trial))


@pytest.mark.parametrize("trial", [0, 1000])
def test_the_ends_of_the_scale_are_accepted(trial):
    assert mean_n((trial,)) == trial


def test_spread_is_the_range_as_a_share_of_the_mean():
    assert spread((90, 100, 110)) == pytest.approx(20)


@pytest.mark.parametrize("trials", [(100,), (0, 0, 0)])
def test_one_trial_or_no_force_has_no_spread(trials):
    assert spread(trials) is None
    assert not scattered(trials)


@pytest.mark.parametrize(("trials", "again"), [((90, 100, 110), False), ((90, 100, 111), True)])
def test_trials_further_apart_than_the_setting_are_measured_again(trials, again):
    assert SPREAD_LIMIT.value == 20
    assert scattered(trials) is again


@pytest.mark.parametrize(("affected", "other"), [(100, 0), (-1, 100), (100, float("nan"))])
def test_no_ratio_without_two_forces(affected, other):
    with pytest.raises(ValueError, match="no ratio"):
        ratio(affected, other)


def test_a_right_handers_right_arm_is_expected_to_be_stronger():
    assert expected_ratio(Handedness.RIGHT, Side.RIGHT) == pytest.approx(1.1272)
    assert result((112.72,), (100,)).adjusted_ratio == pytest.approx(1)
    left = result((100,), (112.72,), affected_side=Side.LEFT)
    assert left.adjusted_ratio == pytest.approx(1)


def test_no_elbow_difference_without_two_forces():
    with pytest.raises(ValueError, match="no difference"):
        elbow_difference(straight_n=0, bent_n=100)


def test_pain_free_grip_is_shown_as_a_share_of_maximal():
    assert pain_free_share(120, 300) == pytest.approx(40)


@pytest.mark.parametrize(("after", "beyond"), [(191.9, False), (192, False), (192.1, True)])
def test_a_change_equal_to_the_error_is_not_beyond_it(after, beyond):
    change = grip_change(100, after, Position.STRAIGHT, within_visit=False, trials=3)

    assert change.beyond_error is beyond


def test_a_loss_beyond_error_is_real_but_not_important():
    change = grip_change(300, 200, Position.STRAIGHT, within_visit=False, trials=3)

    assert (change.beyond_error, change.reached) == (True, ())
    assert str(change.sentence) == ("Worse by 100 N, more than the measurement error of 92 N.")


def test_two_trials_have_no_published_error():
    change = grip_change(100, 300, Position.BENT, within_visit=True, trials=2)

    assert (change.error, change.beyond_error) == (None, None)


@pytest.mark.parametrize("trials", [0, 4])
def test_an_error_is_asked_for_one_to_three_trials(trials):
    with pytest.raises(ValueError, match="1 to 3 trials"):
        grip_error(Position.BENT, within_visit=True, trials=trials)


def test_grip_can_not_change_from_a_negative_force():
    with pytest.raises(ValueError, match="grip can't go"):
        grip_change(-1, 100, Position.BENT, within_visit=True, trials=3)


def test_a_summary_puts_both_sides_together():
    summary = result()

    assert (summary.affected_n, summary.other_n) == (123, 305)
    assert summary.ratio == pytest.approx(0.4033, abs=0.0001)
    assert summary.adjusted_ratio == pytest.approx(0.4033 / 1.1272, abs=0.0001)
    assert (summary.deficit_n, summary.deficit_beyond_error) == (182, True)


@pytest.mark.parametrize(("other", "beyond"), [(169, False), (169.5, True)])
def test_a_deficit_is_only_called_one_beyond_the_error_within_a_visit(other, beyond):
    summary = result((123, 123, 123), (other, other, other))

    assert summary.deficit_beyond_error is beyond


def test_the_error_of_pain_free_grip_does_not_judge_a_maximal_test():
    assert result(effort=Effort.MAXIMAL).deficit_beyond_error is None


def test_one_side_alone_has_no_ratio():
    summary = result(other=())

    assert (summary.other_n, summary.ratio, summary.deficit_n) == (None, None, None)


def test_an_other_side_without_force_has_no_ratio():
    summary = result((0, 0, 0), (0, 0, 0))

    assert (summary.ratio, summary.deficit_percent, summary.deficit_n) == (None, None, 0)


def test_a_summary_keeps_best_and_spread_of_each_side():
    summary = result((100, 110, 120), (300,))

    assert (summary.affected_best_n, summary.other_best_n) == (120, 300)
    assert (summary.affected_spread, summary.other_spread) == (pytest.approx(18.18, abs=0.01), None)


def test_a_side_that_was_not_tested_has_no_best_and_no_spread():
    summary = result(other=())

    assert (summary.other_best_n, summary.other_spread) == (None, None)
