import pytest

from assessments.clinical.grip import MAX_SQUEEZES
from assessments.clinical.protocol import LETTERS, REST, SHORT, Squeeze, Struck
from assessments.clinical.trials import cells_shown, counted_n, one_more


def squeezed(*forces_n, struck=()):
    """Trials 1, 2, 3 … in newtons; those numbered in `struck` were squeezed too fast."""
    return {
        number: Squeeze(force_n=force_n, struck=Struck.TOO_FAST if number in struck else None)
        for number, force_n in enumerate(forces_n, start=1)
    }


def test_a_struck_trial_counts_for_nothing():
    assert counted_n(squeezed(100, 180, 110, struck=(2,)).values()) == (100, 110)


@pytest.mark.parametrize("forces_n", [(), (100,), (100, 300), (100, 105, 110)])
def test_nothing_more_is_asked_for_while_trials_agree_or_go_on(forces_n):
    assert one_more(squeezed(*forces_n)) is None
    assert cells_shown(squeezed(*forces_n)) == 3


def test_a_struck_trial_is_squeezed_again():
    trials = squeezed(100, 180, 110, struck=(2,))

    assert str(one_more(trials)) == "2 of 3 trials count: squeeze once more."
    assert cells_shown(trials) == 4


@pytest.mark.parametrize(("last_n", "asked"), [(110, False), (111, True)])
def test_three_trials_further_apart_than_the_setting_ask_for_a_fourth(last_n, asked):
    trials = squeezed(90, 100, last_n)

    assert (one_more(trials) is not None, cells_shown(trials)) == (asked, 4 if asked else 3)


def test_the_request_says_how_far_apart_the_trials_lie():
    assert str(one_more(squeezed(80, 100, 120))) == (
        "40 % apart: squeeze once more, and strike out the one that was not done well."
    )


def test_no_more_than_six_trials_are_asked_for():
    trials = squeezed(80, 100, 120, 90, 95, 99, struck=(4, 5, 6))

    assert (one_more(trials), cells_shown(trials)) == (None, MAX_SQUEEZES)


def test_a_trial_further_on_keeps_its_place():
    assert cells_shown({5: Squeeze(force_n=100)}) == 5


def test_more_than_three_that_count_are_refused():
    with pytest.raises(ValueError, match="1 to 3 trials"):
        one_more(squeezed(100, 101, 102, 103))


def test_every_reason_to_strike_out_has_a_letter_and_a_short_word():
    assert list(LETTERS) == list(SHORT) == list(Struck)
    assert len(set(LETTERS.values())) == len(Struck)


def test_the_rests_are_those_of_the_two_protocols():
    assert [(seconds, rest.value) for seconds, rest in REST.items()] == [(30, 30), (60, 60)]
