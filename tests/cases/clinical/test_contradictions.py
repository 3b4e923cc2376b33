"""Answers that cannot both be right: each is found, and its neighbors are not."""

import pytest

from cases.clinical.contradictions import CONTRADICTIONS, Told, contradictions

FINE = {
    "manner": "gradual",
    "night_pain": True,
    "nights_woken": 2,
    "rest_pain": 2,
    "worst_pain": 2,
    "stiff_minutes": 30,
    "neck_pain": False,
    "racket_sport": True,
    "racket_answered": True,
    "fluoroquinolone": "no",
}
ALL_NO = {
    code: "no"
    for code in (
        "fracture", "inflammatory", "neck-nerve-root", "steroid-injection",
        "fluoroquinolone-now", "fluoroquinolone-recent",
    )
}  # fmt: skip


def asked(screened=ALL_NO, **changes) -> list[int]:
    """Which rows of the table ask, of a history that fits together but for `changes`."""
    found = contradictions(Told(**(FINE | changes), screened=screened))
    texts = [text for _holds, text in CONTRADICTIONS]
    return [texts.index(question.text) for question in found]


def test_a_history_that_fits_together_asks_nothing():
    assert asked() == []


def test_what_was_not_asked_contradicts_nothing():
    assert contradictions(Told()) == ()


@pytest.mark.parametrize(
    ("row", "changes"),
    [
        (0, {"night_pain": False, "nights_woken": 1}),
        (1, {"rest_pain": 3}),
        (2, {"racket_sport": False}),
        (3, {"screened": ALL_NO | {"fluoroquinolone-now": "yes"}}),
        (4, {"screened": ALL_NO | {"fluoroquinolone-recent": "yes"}}),
        (5, {"fluoroquinolone": "now"}),
        (6, {"fluoroquinolone": "past"}),
        (7, {"manner": "blow"}),
        (8, {"stiff_minutes": 31}),
        (9, {"neck_pain": True}),
        (10, {"steroid_injected": True}),
    ],
)
def test_each_row_asks_about_its_own_contradiction(row, changes):
    assert asked(**changes) == [row]


@pytest.mark.parametrize(
    "changes",
    [
        {"night_pain": False, "nights_woken": 0},
        {"night_pain": False, "nights_woken": None},
        {"racket_sport": False, "racket_answered": False},
        {"manner": "blow", "screened": ALL_NO | {"fracture": "unknown"}},
        {"neck_pain": True, "screened": {}},
        {"fluoroquinolone": "now", "screened": ALL_NO | {"fluoroquinolone-now": "yes"}},
    ],
)
def test_what_can_be_true_together_is_left_alone(changes):
    assert asked(**changes) == []


def test_taking_it_now_and_before_is_asked_about_once():
    both = ALL_NO | {"fluoroquinolone-now": "yes", "fluoroquinolone-recent": "yes"}

    assert asked(screened=both) == [3]
