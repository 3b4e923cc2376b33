"""The battery on the visit's page: folded away, fetched when opened, a page of its own without scripts."""

import pytest
from django.urls import reverse

from clinic.typed import hold
from tests.factories.clinic import PASSWORD
from tests.factories.findings import create_battery, create_finding
from tests.pages import TYPING

pytestmark = pytest.mark.django_db

FORM = 'id="battery-form"'


def visit_page(visit):
    return reverse("rehab:visit", args=[visit.pk])


def battery_page(visit):
    return reverse("cases:battery", args=[visit.pk])


def test_the_form_is_not_drawn_before_it_is_opened(browser, visit):
    page = browser.get(visit_page(visit)).content.decode()

    assert FORM not in page
    assert f'hx-get="{battery_page(visit)}?next=/cases/{visit.case_id}/"' in page
    assert f'<a href="{battery_page(visit)}?next={visit_page(visit)}">' in page


def test_what_is_fetched_is_the_form_alone(browser, visit):
    part = browser.get(battery_page(visit), **TYPING).content.decode().strip()

    assert (part[:5], part[-7:]) == ("<form", "</form>")
    assert (FORM in part, "hx-swap-oob" in part) == (True, False)
    assert 'accesskey="s"' not in part  # that key signs the visit


def test_the_fold_says_how_many_findings_are_on_record(browser, visit):
    battery = create_battery(visit=visit)
    create_finding(battery=battery)
    create_finding(battery=battery, side="left", answer="none", pain=None)

    assert "2 findings on record" in browser.get(visit_page(visit)).content.decode()


def test_what_was_typed_too_late_comes_back_open(client, physiotherapist, visit):
    hold(physiotherapist.pk, battery_page(visit), "battery-resting_pain=2&battery-go_on=on")
    client.post("/sign-in/", {"username": physiotherapist.username, "password": PASSWORD})

    page = client.get(visit_page(visit))

    assert page.context["battery"].form.data["battery-resting_pain"] == "2"
    assert 'id="battery-part" open' in " ".join(page.content.decode().split())
    assert FORM not in client.get(visit_page(visit)).content.decode()
