"""Requests for correction: written down, listed while open, answered once with what is added or why not."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Addendum, CorrectionRequest
from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_signed_visit
from tests.factories.clinic import create_physiotherapist
from tests.sealed import changed, refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def patient(physiotherapist):
    return create_case(lead=physiotherapist).patient


def page(browser, name, *args) -> str:
    return " ".join(browser.get(reverse(f"rehab:{name}", args=args)).content.decode().split())


def ask(browser, patient, **typed):
    asked = {"asked_on": "2026-03-02", "what": "It was the left arm."} | typed
    return browser.post(reverse("rehab:correction_new", args=[patient.pk]), asked)


def answer(browser, asked, **typed):
    return browser.post(reverse("rehab:correction", args=[asked.pk]), typed)


@pytest.mark.parametrize(("days", "due"), [(30, "2026-04-01"), (60, "2026-05-01")])
def test_the_answer_is_due_by_the_clinics_setting(browser, patient, days, due):
    """GDPR Art. 12(3) says a month, 45 CFR 164.526(b)(2) 60 days."""
    patient.clinic.correction_days = days
    patient.clinic.save()
    ask(browser, patient)

    asked = CorrectionRequest.objects.get()
    assert (str(asked.due_on), asked.what) == (due, "It was the left arm.")
    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.object_id, event.detail) == ("took", asked.pk, {})


def test_the_addendum_that_corrects_leads_back_to_the_request(browser, patient):
    visit = create_signed_visit(case=patient.cases.get())
    ask(browser, patient)
    asked = CorrectionRequest.objects.get()
    request = reverse("rehab:correction", args=[asked.pk])
    addendum = f"{reverse('cases:addendum', args=[visit.pk])}?next={request}"

    assert f'href="{addendum}"' in page(browser, "correction", asked.pk)
    assert f'href="{request}">Back without adding' in browser.get(addendum).content.decode()
    added = browser.post(addendum, {"text": "The left arm.", "reason": "asked for"})
    assert added.url == request


def test_a_day_to_come_is_a_slip(browser, patient):
    late = timezone.localdate() + datetime.timedelta(days=1)

    assert ask(browser, patient, asked_on=str(late)).status_code == 422
    assert not CorrectionRequest.objects.exists()


def test_open_requests_are_listed_the_most_urgent_first(browser, patient, physiotherapist):
    other = create_case(lead=physiotherapist).patient
    ask(browser, patient)
    ask(browser, other, asked_on="2026-02-02")
    listed = page(browser, "corrections")

    assert listed.index(str(other)) < listed.index(str(patient))
    assert "late: was due on 4 Mar 2026" in listed


def test_what_is_granted_leads_to_the_addendum(browser, patient, physiotherapist):
    visit = create_signed_visit(case=patient.cases.get())
    ask(browser, patient)
    asked = CorrectionRequest.objects.get()
    assert reverse("cases:addendum", args=[visit.pk]) in page(browser, "correction", asked.pk)
    added = Addendum.objects.create(
        visit=visit, text="The left arm.", reason="asked", written_by=physiotherapist
    )
    answer(browser, asked, answer="granted", addendum=added.pk, because="")

    asked.refresh_from_db()
    assert (asked.answer, asked.addendum, asked.answered_by) == ("granted", added, physiotherapist)
    assert "by the addendum of" in page(browser, "correction", asked.pk)
    assert str(patient) not in page(browser, "corrections")


def test_an_addendum_of_somebody_else_can_not_be_chosen(browser, patient, physiotherapist):
    visit = create_signed_visit(case=create_case(lead=physiotherapist))
    added = Addendum.objects.create(
        visit=visit, text="Other.", reason="late", written_by=physiotherapist
    )
    ask(browser, patient)
    asked = CorrectionRequest.objects.get()

    reply = answer(browser, asked, answer="granted", addendum=added.pk, because="")
    assert reply.status_code == 422
    assert CorrectionRequest.objects.get().is_open


@pytest.mark.parametrize(
    ("typed", "error"),
    [
        ({"answer": "refused", "because": ""}, "Write why it is refused."),
        ({"answer": "granted", "because": ""}, "Choose the addendum, or write where"),
        ({"because": "No."}, "Choose the answer."),
    ],
)
def test_an_answer_says_why(browser, patient, typed, error):
    ask(browser, patient)
    reply = answer(browser, CorrectionRequest.objects.get(), **typed)

    assert reply.status_code == 422
    assert error in reply.content.decode()


def test_an_answer_is_given_once_and_stays(browser, patient):
    ask(browser, patient)
    asked = CorrectionRequest.objects.get()
    assert refused(changed(asked, what="Nothing."), by="correction_taken_stays")
    answer(browser, CorrectionRequest.objects.get(), answer="refused", because="It was the right.")
    answer(browser, asked, answer="granted", because="Changed our mind.")

    asked = CorrectionRequest.objects.get()
    assert (asked.answer, asked.because) == ("refused", "It was the right.")
    assert refused(changed(asked, because="Other."), by="correction_answered_stays")
    assert "It was the right." in page(browser, "correction", asked.pk)


def test_the_front_desk_answers_nothing(signed_in, front_desk, browser, patient):
    ask(browser, patient)
    asked = CorrectionRequest.objects.get()
    desk = signed_in(front_desk)

    assert ask(desk, patient).status_code == 403
    assert answer(desk, asked, answer="refused", because="No.").status_code == 403
    assert desk.get(reverse("rehab:corrections")).status_code == 403


def test_a_request_in_another_clinic_does_not_exist(signed_in, browser, patient):
    ask(browser, patient)
    asked = CorrectionRequest.objects.get()
    theirs = signed_in(create_physiotherapist())

    assert ask(theirs, patient).status_code == 404
    assert answer(theirs, asked, answer="refused", because="No.").status_code == 404
    assert str(patient) not in page(theirs, "corrections")


def test_the_list_leads_back_and_the_clinics_page_to_it(signed_in, browser, manager):
    of_who_treats = browser.get("/corrections/").content.decode()
    boss = signed_in(manager)
    empty, clinic = (boss.get(page).content.decode() for page in ("/corrections/", "/clinic/"))

    assert '<a href="/patients/" accesskey="b">' in of_who_treats
    assert '<a href="/clinic/" accesskey="b">' in empty
    assert "No request waits for an answer." in empty
    assert 'href="/corrections/"' in clinic
