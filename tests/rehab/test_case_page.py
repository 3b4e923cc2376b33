"""What the page of a case offers next: history, screening, visit, booking."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Intake
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_clear_screening,
    create_visit,
)
from tests.factories.rehab import create_issued

pytestmark = pytest.mark.django_db


def page_of(browser, case):
    page = browser.get(reverse("rehab:case", args=[case.pk])).content.decode()
    return page.partition("<main")[2].partition("</main>")[0]


def filled(page):
    """The words of the buttons that are not outlined, and of no link."""
    return re.findall(r'class="button"[^>]*>\s*([^<]+?)\s*<', page)


def test_the_filled_button_is_what_comes_next(physiotherapist, browser):
    case = create_case(lead=physiotherapist)
    new = filled(page_of(browser, case))
    Intake.objects.create(case=case)
    asked = filled(page_of(browser, case))
    create_clear_screening(case=case)
    screened = filled(page_of(browser, case))

    assert (new, asked, screened) == (
        ["Intake"],
        ["Screening"],
        ["Build a program", "Begin today's visit"],
    )


def test_while_a_program_runs_a_visit_comes_next_whatever_was_not_asked(physiotherapist, browser):
    case = create_case(lead=physiotherapist)
    create_issued(case=case)

    assert filled(page_of(browser, case)) == ["Begin today's visit"]


def test_a_visit_is_booked_from_the_case_with_a_key(physiotherapist, browser):
    case = create_case(lead=physiotherapist)
    free = page_of(browser, case)
    booked = create_appointment(
        patient=case.patient, case=case, practitioner=physiotherapist, starts_at=timezone.now()
    )
    taken = page_of(browser, case)

    assert f'<a accesskey="f" href="/due/{case.pk}/book/?next=/cases/{case.pk}/">Book</a>' in free
    assert f'<a href="/book/{booked.pk}/">Booked for' in taken
    assert f"/due/{case.pk}/book/" not in taken


def test_the_case_leads_to_its_patient(physiotherapist, browser):
    case = create_case(lead=physiotherapist)

    assert f'href="/patients/{case.patient_id}/">Contact and bookings</a>' in page_of(browser, case)


def test_an_answer_that_must_be_acted_on_stands_at_the_head_of_the_case(physiotherapist, browser):
    case = create_case(lead=physiotherapist)
    screening = create_clear_screening(case=case)
    create_issued(case=case)
    clear = page_of(browser, case)
    screening.answers.filter(question="hot-joint").update(answer="yes")
    lead = page_of(browser, case).partition('class="lead"')[2].partition("Nothing is booked")[0]

    assert "Go to the screening" not in clear
    assert "What was done about it is not written down." in lead
    assert f'href="/cases/{case.pk}/screening/#follows">Go to the screening</a>' in lead


def test_after_signing_another_visit_of_the_day_is_no_longer_what_comes_next(
    physiotherapist, browser
):
    case = create_case(lead=physiotherapist)
    create_issued(case=case)
    visit = create_visit(case=case, on=timezone.localdate(), practitioner=physiotherapist)
    visit.sign(by=physiotherapist, at=timezone.now())
    page = page_of(browser, case)

    assert filled(page) == []
    assert "Begin another visit today" in page
