"""A grip test by keyboard: how many strokes it takes beside the digits, and what happens on the way."""

import pytest

from assessments.models import GripTest
from tests.browser.keyboard import Keyboard
from tests.factories.cases import create_case, create_visit

pytestmark = pytest.mark.django_db(transaction=True)

MOST_STROKES = 14
UNAFFECTED, AFFECTED = ("30", "31", "30.5"), ("12", "12.5", "12.2")


@pytest.fixture
def visit(physiotherapist):
    return create_visit(case=create_case(lead=physiotherapist))


@pytest.fixture
def someone(person, physiotherapist, visit):
    """At the measures page of a first visit; the clinic's dynamometer shows kg."""
    someone = person(physiotherapist)
    someone.open(f"/visits/{visit.pk}/measures/")
    return someone


def squeeze(keys: Keyboard, *readings: str) -> None:
    """Type readings one after the other; Enter moves on, and none is pressed after the last."""
    for number, reading in enumerate(readings):
        if number:
            keys.press("Enter")
        keys.page.keyboard.type(reading)


def kept(visit) -> dict[str, tuple[float, ...]]:
    tests = GripTest.objects.at(visit)
    return {str(test): tuple(round(n / 9.80665, 3) for n in test.forces_n()) for test in tests}


def test_three_trials_a_side_take_at_most_14_strokes(someone, visit):
    keys = Keyboard(someone)

    keys.access("t")
    squeeze(keys, *UNAFFECTED, *AFFECTED)
    keys.command("s", to=r"/cases/\d+/")

    assert kept(visit) == {
        "left, straight, pain_free": (30, 31, 30.5),
        "right, straight, pain_free": (12, 12.5, 12.2),
    }
    assert keys.strokes <= MOST_STROKES


def test_the_maximum_of_a_first_visit_fits_into_the_same_14_strokes(someone, visit):
    keys = Keyboard(someone)

    keys.access("t")
    squeeze(keys, *UNAFFECTED, *AFFECTED, "36", "37", "36.5", "26", "27", "26.5")
    keys.command("s", to=r"/cases/\d+/")

    assert kept(visit)["right, bent, maximal"] == (26, 27, 26.5)
    assert len(kept(visit)) == 4
    assert keys.strokes <= MOST_STROKES


def test_a_letter_strikes_a_trial_out_and_a_fourth_cell_opens(someone, visit):
    keys = Keyboard(someone)
    fourth = someone.field("measures-pain_free_left_4")
    assert not fourth.is_visible()

    keys.access("t")
    squeeze(keys, "30", "41f", "31", "12")
    fourth.wait_for()

    assert someone.field("measures-pain_free_left_2").input_value() == "41"
    assert someone.field("measures-pain_free_left_2_struck").input_value() == "too_fast"
    assert "2 of 3 trials count: squeeze once more." in someone.reads()
    assert keys.focused() == "measures-pain_free_right_1"
    assert someone.complaints == []


def test_the_rest_begins_with_the_first_trial_and_only_its_end_is_said(someone, visit):
    someone.stop_time()
    keys = Keyboard(someone)

    keys.access("t")
    squeeze(keys, "30", "31")
    left, over = (someone.page.locator(f"[data-rest] [data-{part}]") for part in ("left", "over"))
    assert (left.inner_text(), over.text_content()) == ("30 s left", "")
    someone.page.clock.fast_forward(31_000)

    assert (left.text_content(), over.inner_text()) == ("", "The rest is over.")
    assert keys.focused() == "measures-pain_free_left_2"


def test_nobody_rests_after_the_last_trial_of_a_side(someone, visit):
    someone.stop_time()
    keys = Keyboard(someone)

    keys.access("t")
    squeeze(keys, *UNAFFECTED, "12")

    assert someone.page.locator("[data-rest] [data-left]").text_content() == ""


def test_without_scripts_the_trials_are_struck_out_and_asked_again(person, physiotherapist, visit):
    someone = person(physiotherapist, java_script_enabled=False)
    someone.open(f"/visits/{visit.pk}/measures/")
    for number, reading in enumerate(("30", "41", "31"), start=1):
        someone.type(f"measures-pain_free_left_{number}", reading)
    someone.choose("measures-pain_free_left_2_struck", "past_pain")

    someone.press("Save and look at the trials", to="measures/")

    assert someone.field("measures-pain_free_left_4").is_visible()
    assert not someone.field("measures-pain_free_left_5").is_visible()
    assert kept(visit) == {"left, straight, pain_free": (30, 31)}
    assert not someone.page.locator("[data-rest]").is_visible()
