"""Taking back a program that was issued."""

import pytest
from django.urls import reverse

from clinic.models import AuditEvent
from rehab.models import Program
from tests.factories.cases import create_case
from tests.factories.rehab import create_draft, create_issued
from tests.pages import typed


@pytest.fixture
def url(program):
    return reverse("rehab:program_withdraw", args=[program.pk])


def test_a_program_is_withdrawn_with_its_reason(browser, url, case, program):
    answer = browser.post(url, {"because": "Written for the other arm."})

    program.refresh_from_db()
    assert answer.url == reverse("rehab:case", args=[case.pk])
    assert (program.ended_at is None, program.withdrawn_because) == (
        False,
        "Written for the other arm.",
    )
    assert AuditEvent.objects.get(verb="withdrew").detail == {"version": 1}


def test_the_case_page_says_that_it_was_withdrawn_and_keeps_it(browser, url, case, program):
    browser.post(url, {"because": "Written for the other arm."})

    page = " ".join(browser.get(reverse("rehab:case", args=[case.pk])).content.decode().split())

    assert ": Written for the other arm. </p>" in page
    assert reverse("rehab:home_program", args=[program.pk]) in page
    assert url not in page


def test_the_history_keeps_the_reason_beside_the_program_that_followed(browser, url, case):
    browser.post(url, {"because": "Written for the other arm."})
    create_issued(case=case, version=2)

    page = " ".join(browser.get(reverse("rehab:case", args=[case.pk])).content.decode().split())

    assert ": Written for the other arm.</span>" in page


def test_the_case_page_leads_there(browser, url, case):
    assert url in browser.get(reverse("rehab:case", args=[case.pk])).content.decode()


@pytest.mark.parametrize(
    ("because", "sentence"),
    [
        ("", "Say why the program is withdrawn."),
        ("  ", "Say why the program is withdrawn."),
        ("x" * 301, "Ensure this value has at most 300 characters (it has 301)."),
    ],
)
def test_without_a_reason_nothing_is_withdrawn(browser, url, program, because, sentence):
    answer = browser.post(url, typed(browser.get(url), because=because))

    program.refresh_from_db()
    assert (answer.status_code, program.ended_at) == (422, None)
    assert answer.context["form"].errors == {"because": [sentence]}


def test_what_has_ended_is_not_withdrawn_again(browser, url, case, program):
    browser.post(url, {"because": "Written for the other arm."})

    answer = browser.post(url, {"because": "Once more."}, follow=True)

    words = "This program has ended already, so there is nothing to withdraw."
    assert words in answer.content.decode()
    assert Program.objects.get().withdrawn_because == "Written for the other arm."


def test_a_draft_is_no_program_to_withdraw(browser, case):
    draft = create_draft(case=case)

    answer = browser.post(reverse("rehab:program_withdraw", args=[draft.pk]), {"because": "Wrong."})

    assert answer.status_code == 404


@pytest.mark.parametrize("who", ["front_desk", "manager"])
def test_only_who_treats_withdraws(request, signed_in, url, who):
    assert signed_in(request.getfixturevalue(who)).get(url).status_code == 403


def test_a_program_in_another_clinic_does_not_exist(browser):
    elsewhere = create_issued(case=create_case())
    url = reverse("rehab:program_withdraw", args=[elsewhere.pk])

    assert browser.post(url, {"because": "Wrong."}).status_code == 404
    assert Program.objects.get().ended_at is None


def test_it_is_not_deleted(browser, url):
    assert browser.delete(url).status_code == 405
