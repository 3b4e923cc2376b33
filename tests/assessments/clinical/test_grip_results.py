import pytest

from assessments.clinical.grip_results import elbow_losses, pain_free_shares, yardstick
from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_BENT, PAIN_FREE_STRAIGHT
from cases.clinical.sides import Side

RIGHT, LEFT = Side.RIGHT, Side.LEFT


def test_the_loss_from_bent_to_straight_has_both_denominators():
    trials = {(PAIN_FREE_BENT, RIGHT): (125.0, 125.0), (PAIN_FREE_STRAIGHT, RIGHT): (100.0,)}

    (loss,) = elbow_losses(trials, affected=RIGHT)

    found = loss.difference
    assert (loss.side, found.lost_n) == (RIGHT, 25)
    assert (found.percent_of_bent, found.percent_of_straight) == pytest.approx((20, 25))


@pytest.mark.parametrize("straight", [(), (0.0,)])
def test_no_loss_without_a_force_in_both_positions(straight):
    trials = {(PAIN_FREE_BENT, RIGHT): (125.0,), (PAIN_FREE_STRAIGHT, RIGHT): straight}

    assert elbow_losses(trials, affected=RIGHT) == ()


def test_the_unaffected_side_comes_first():
    ways = (PAIN_FREE_BENT, PAIN_FREE_STRAIGHT)
    trials = {(way, side): (100.0,) for way in ways for side in (RIGHT, LEFT)}

    assert [loss.side for loss in elbow_losses(trials, affected=RIGHT)] == [LEFT, RIGHT]


def test_a_share_of_a_maximum_that_was_not_measured_is_left_open():
    trials = {(PAIN_FREE_STRAIGHT, RIGHT): (120.0,), (MAXIMAL_BENT, RIGHT): (240.0,)}

    (share,) = pain_free_shares(trials, affected=RIGHT)

    assert (share.way, share.of_other, share.of_own) == (PAIN_FREE_STRAIGHT, None, 50)


def test_no_share_without_a_maximum():
    assert pain_free_shares({(PAIN_FREE_STRAIGHT, RIGHT): (120.0,)}, affected=RIGHT) == ()


def test_a_grip_stopped_at_the_first_touch_is_a_share_of_nothing_but_a_share():
    trials = {(PAIN_FREE_STRAIGHT, RIGHT): (0.0,), (MAXIMAL_BENT, LEFT): (240.0,)}

    assert [share.of_other for share in pain_free_shares(trials, affected=RIGHT)] == [0]


@pytest.mark.parametrize(
    ("sore", "begins"),
    [
        (True, "The other elbow is sore too"),
        (None, "Whether the other elbow is well is not on record"),
    ],
)
def test_what_the_other_side_forbids_is_said(sore, begins):
    assert str(yardstick(other_side_sore=sore)).startswith(begins)


def test_a_well_other_side_needs_no_words():
    assert yardstick(other_side_sore=False) is None
