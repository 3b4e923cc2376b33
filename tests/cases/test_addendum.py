"""Adding to a signed visit."""

import pytest
from django.urls import reverse

from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_signed_visit, create_visit

ADDED = {"text": "The X-ray was clear.", "reason": "came in later"}


def address(visit):
    return reverse("cases:addendum", args=[visit.pk])


@pytest.fixture
def visit(physiotherapist):
    return create_signed_visit(case=create_case(lead=physiotherapist))


def test_an_addendum_stands_below_the_visit_with_its_writer(browser, visit, physiotherapist):
    answer = browser.post(address(visit), ADDED)

    added = visit.addenda.get()
    assert (added.text, added.reason, added.written_by) == (
        "The X-ray was clear.",
        "came in later",
        physiotherapist,
    )
    assert answer.url == reverse("rehab:visit", args=[visit.pk])


def test_an_addendum_is_shown_with_the_notes(browser, visit, physiotherapist):
    browser.post(address(visit), ADDED)

    page = browser.get(reverse("cases:notes", args=[visit.pk])).content.decode()

    assert "The X-ray was clear." in page
    assert f"by {physiotherapist}" in page


def test_adding_is_in_the_audit_trail_without_its_text(browser, visit):
    browser.post(address(visit), ADDED)

    event = AuditEvent.objects.get(verb="added to")
    assert (event.object_id, event.detail) == (visit.pk, {"addendum": visit.addenda.get().pk})


def test_an_addendum_needs_text_and_reason(browser, visit):
    answer = browser.post(address(visit), {"text": "Only text."})

    assert answer.status_code == 422
    assert answer.context["form"].errors == {"reason": ["Say why it is added."]}
    assert answer.context["form"]["text"].value() == "Only text."


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_draft_takes_no_addendum(browser, physiotherapist, method):
    draft = create_visit(case=create_case(lead=physiotherapist))

    answer = getattr(browser, method)(address(draft), ADDED)

    assert answer.url == reverse("rehab:visit", args=[draft.pk])
    assert draft.addenda.count() == 0


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_who_treats_adds(request, signed_in, visit, who, status):
    browser = signed_in(request.getfixturevalue(who))

    assert browser.get(address(visit)).status_code == status


def test_a_visit_of_another_clinic_takes_no_addendum(browser):
    assert browser.post(address(create_signed_visit()), ADDED).status_code == 404


def test_addenda_are_not_deleted(browser, visit):
    assert browser.delete(address(visit)).status_code == 405


@pytest.mark.parametrize("before", [1, 3])
def test_the_page_costs_the_same_however_many_addenda(
    browser, visit, django_assert_num_queries, before
):
    for _addendum in range(before):
        browser.post(address(visit), ADDED)
    browser.get(address(visit))  # which says that they are kept, once

    with django_assert_num_queries(4):
        browser.get(address(visit))


def test_the_head_of_a_signed_visit_counts_what_was_added(browser, visit):
    page = reverse("rehab:visit", args=[visit.pk])
    before = browser.get(page).content.decode()
    for text in ("The left elbow is not sore.", "Nor is the wrist."):
        browser.post(address(visit), {"text": text, "reason": "Left out on the day."})
    after = browser.get(page).content.decode()

    assert "below it" not in before
    assert '<a href="#addenda">2 addenda stand below it</a>' in after
