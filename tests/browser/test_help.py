"""“?” and what it shows, and the way from a figure to its source and back, by keyboard alone."""

import pytest

from tests.browser.situations import a_clinic_at_work, filled_in

pytestmark = pytest.mark.django_db(transaction=True)


def test_the_keys_of_a_page_are_one_key_away(person, physiotherapist):
    someone = person(physiotherapist)
    someone.open("/")
    someone.page.locator("main").focus()

    someone.page.keyboard.press("?")
    shown = someone.page.get_by_role("dialog", name="Keys on this page")
    shown.wait_for()
    assert "Register a patient" in shown.inner_text()
    someone.wait_at("#key-map-head")  # read from its top
    someone.page.keyboard.press("Escape")
    shown.wait_for(state="hidden")


def test_a_question_mark_in_a_field_is_a_question_mark(person, physiotherapist):
    someone = person(physiotherapist)
    someone.open("/patients/new/")
    someone.field("given_name").focus()

    someone.page.keyboard.type("Ida?")

    assert someone.field("given_name").input_value() == "Ida?"
    assert not someone.page.get_by_role("dialog").is_visible()


def test_from_a_figure_to_its_source_and_back(person, physiotherapist):
    numbers = a_clinic_at_work(physiotherapist)
    someone = person(physiotherapist)
    someone.open(f"/cases/{numbers['case']}/")
    letter = someone.page.locator("main a.ref").first
    note = letter.get_attribute("href")
    letter.focus()

    someone.page.keyboard.press("Enter")
    assert someone.focused() == note[1:]
    someone.page.keyboard.press("Escape")
    assert someone.page.evaluate("document.activeElement.getAttribute('href')") == note


CLAIMS = [
    ("rehab:visit", "draft visit"),
    ("rehab:program", "case"),
    ("rehab:program", "case with a draft program"),
    ("rehab:diary", "case"),
    ("rehab:thresholds", None),
    ("rehab:threshold", "threshold"),
    ("rehab:catalog_card", "exercise"),
]


def test_each_letter_of_a_page_leads_to_a_source_of_its_own(person, physiotherapist):
    numbers = a_clinic_at_work(physiotherapist)
    someone = person(physiotherapist)
    led = {}
    for page, row in CLAIMS:
        someone.open(filled_in(page, numbers, row))
        led[page, row] = [there_and_back(someone, one) for one in letters_of(someone).all()]

    assert {where for where, letters in led.items() if not letters} == set()
    assert {where for where, letters in led.items() if False in letters} == set()


def letters_of(someone):
    return someone.page.locator("main a.ref:visible")


def there_and_back(someone, letter) -> bool:
    """Whether Enter leads to the one note of a letter, and Escape back."""
    note = letter.get_attribute("href").removeprefix("#")
    letter.focus()
    someone.page.keyboard.press("Enter")
    there = someone.focused()
    someone.page.keyboard.press("Escape")
    back = someone.page.evaluate("document.activeElement.hash")
    alone = someone.page.locator(f"[id='{note}']").count() == 1
    return alone and (there, back) == (note, f"#{note}")
