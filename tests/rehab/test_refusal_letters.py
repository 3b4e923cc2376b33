"""The letters about refused requests: who prints which, in which language, and what is kept of it."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import CorrectionRequest, ErasureRefusal
from clinic.models import AuditEvent
from rehab.models import Handout
from tests.factories.cases import create_patient
from tests.rehab.printing.sheets import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def patient(physiotherapist):
    return create_patient(clinic=physiotherapist.clinic, record_number=217)


@pytest.fixture
def asked(patient, physiotherapist):
    day = datetime.date(2026, 3, 2)
    return CorrectionRequest.objects.create(
        patient=patient, asked_on=day, what="The left arm.", taken_by=physiotherapist, due_on=day
    )


@pytest.fixture
def kept(patient, physiotherapist):
    day = datetime.date(2026, 3, 2)
    return ErasureRefusal.objects.create(
        patient=patient, asked_on=day, refused_by=physiotherapist, kept_until=day, reason="By law."
    )


def answer(asked, how, **more):
    asked.give(how, because="It was the right.", by=asked.taken_by, at=timezone.now(), **more)
    return reverse("rehab:correction_refusal", args=[asked.pk])


def test_a_refused_correction_is_a_letter_that_is_kept(browser, asked, physiotherapist):
    sheet = browser.get(answer(asked, "refused"))

    text, handout = text_of(sheet.content), Handout.objects.get()
    assert [word for word in ("The left arm.", "It was the right.") if word not in text] == []
    assert sheet["Content-Type"] == "application/pdf"
    assert (handout.kind, handout.patient, handout.language) == (
        "refusal letter",
        asked.patient,
        "en",
    )
    assert handout.as_it_was() == sheet.content
    assert str(asked.patient) not in sheet["Content-Disposition"]
    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.actor, event.patient_key) == (
        "printed", physiotherapist, asked.patient.pk,
    )  # fmt: skip


def test_what_is_open_or_granted_has_no_letter(browser, asked):
    url = reverse("rehab:correction_refusal", args=[asked.pk])
    assert browser.get(url).status_code == 404

    assert browser.get(answer(asked, "granted")).status_code == 404
    assert not Handout.objects.exists()


def test_a_record_that_is_kept_is_a_letter(browser, kept):
    text = text_of(browser.get(reverse("rehab:erasure_refusal", args=[kept.pk])).content)

    assert "until 2 Mar 2026" in text
    assert "By law." in text


def test_who_reads_spanish_gets_it_in_spanish_and_in_english(browser, asked, kept, patient):
    patient.language = "es"
    patient.save()
    pages = {
        answer(asked, "refused"): reverse("rehab:correction", args=[asked.pk]),
        reverse("rehab:erasure_refusal", args=[kept.pk]): reverse(
            "rehab:rights", args=[patient.pk]
        ),
    }

    for letter, page in pages.items():
        shown = browser.get(page).content.decode()
        assert f'href="{letter}"' in shown
        assert f'href="{letter}?language=en"' in shown
        assert "Nos pidió" in text_of(browser.get(letter).content)
        assert "You asked us" in text_of(browser.get(f"{letter}?language=en").content)
        assert "Nos pidió" in text_of(browser.get(f"{letter}?language=xx").content)
    assert set(Handout.objects.values_list("language", flat=True)) == {"es", "en"}


def test_who_reads_english_gets_one_link(browser, kept, patient):
    shown = browser.get(reverse("rehab:rights", args=[patient.pk])).content.decode()

    assert "Letter to the patient" in shown
    assert "?language=en" not in shown


def test_the_front_desk_does_not_open_it_again(browser, client, asked, front_desk):
    browser.get(answer(asked, "refused"))
    client.force_login(front_desk)

    assert client.get(reverse("rehab:handout", args=[Handout.objects.get().pk])).status_code == 404


def test_a_name_that_the_type_lacks_is_said(browser, kept, patient):
    patient.family_name = "王"
    patient.save()

    reply = browser.get(reverse("rehab:erasure_refusal", args=[kept.pk]))
    assert (reply.status_code, Handout.objects.count()) == (422, 0)
