"""The pain rule in words, for every pair of limits a clinic may set."""

from dataclasses import replace

import pytest

from rehab.printing.advice import pain_levels, stop_signs
from tests.rehab.printing.sheets import LIMITS


def in_words(**changes) -> dict[str, tuple[str, ...]]:
    levels = pain_levels(replace(LIMITS, **changes))
    return {
        level.word: (level.span, *(str(sentence) for sentence in level.when)) for level in levels
    }


def test_the_usual_limits_give_three_levels():
    assert in_words() == {
        "settled": (
            "0–3",
            "Pain during the exercise is 0–3.",
            "The next morning is no worse than usual.",
        ),
        "watch": (
            "4–5",
            "Pain during the exercise is 4–5.",
            "The next morning is 1 point worse than usual.",
        ),
        "too much": (
            "6–10",
            "Pain during the exercise is 6 or more.",
            "The next morning is 2 or more points worse than usual.",
            "The pain is sharp, or the elbow locks.",
            "Your elbow wakes you at night, as it did not before.",
        ),
    }


def test_strict_limits_leave_only_the_morning_to_watch():
    assert in_words(settled_up_to=2, too_much_from=3)["watch"] == (
        "",
        "The next morning is 1 point worse than usual.",
    )


def test_limits_without_a_gap_have_nothing_to_watch():
    words = in_words(settled_up_to=2, too_much_from=3, morning_watch=2, morning_too_much=2)

    assert list(words) == ["settled", "too much"]
    assert words["settled"][2] == "The next morning is less than 2 points worse than usual."


def test_a_wider_gap_is_written_as_a_range():
    words = in_words(settled_up_to=0, too_much_from=2, morning_watch=1, morning_too_much=3)

    assert words["settled"][0] == "0"
    assert words["watch"] == (
        "1",
        "Pain during the exercise is 1.",
        "The next morning is 1–2 points worse than usual.",
    )


def test_every_level_has_its_own_shape_and_word():
    levels = pain_levels(LIMITS)

    assert [(level.word, level.shape, level.brief) for level in levels] == [
        ("settled", "full", "Go on."),
        ("watch", "half", "Do the same again."),
        ("too much", "square", "Stop for today."),
    ]


def test_the_first_stop_sign_is_the_patients_own_limit():
    signs = stop_signs(replace(LIMITS, settled_up_to=2, too_much_from=3))

    assert str(signs[0]) == "Your pain reaches 3 or turns sharp."


@pytest.mark.parametrize(
    "crossed",
    [{"settled_up_to": 6}, {"too_much_from": 11}, {"morning_watch": 3}, {"morning_watch": 0}],
)
def test_limits_that_cross_are_refused(crossed):
    with pytest.raises(ValueError, match=r"must end below|is watched before"):
        replace(LIMITS, **crossed)
