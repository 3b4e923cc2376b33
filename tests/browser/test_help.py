"""“?” and what it shows, and the way from a figure to its source and back, by keyboard alone."""

import pytest

from tests.browser.situations import a_clinic_at_work

pytestmark = pytest.mark.django_db(transaction=True)


def test_the_keys_of_a_page_are_one_key_away(person, physiotherapist):
    someone = person(physiotherapist)
    someone.open("/")
    someone.page.locator("main").focus()

    someone.page.keyboard.press("?")
    shown = someone.page.get_by_role("dialog", name="Keys on this page")
    shown.wait_for()
    assert "Register a patient" in shown.inner_text()
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
    assert someone.page.evaluate("document.activeElement.id") == note[1:]
    someone.page.keyboard.press("Escape")
    assert someone.page.evaluate("document.activeElement.getAttribute('href')") == note
