"""A restricted record: read for a stated reason, in no figures, without reminders, and for nobody else."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Restriction
from cases.reminders import reminders_due
from clinic.models import AuditEvent
from rehab.caseload import Chosen
from rehab.models import RecordCopy
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_patient_by_mail,
    create_signed_visit,
    create_visit,
)
from tests.factories.clinic import create_physiotherapist
from tests.factories.rehab import create_issued
from tests.sealed import changed, refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(physiotherapist):
    patient = create_patient_by_mail(by=physiotherapist)
    return create_case(lead=physiotherapist, patient=patient)


def restrict(case, **fields) -> Restriction:
    usual = {"since": timezone.localdate(), "reason": "In dispute.", "placed_by": case.lead}
    return Restriction.objects.create(patient=case.patient, **(usual | fields))


def question(case) -> str:
    return reverse("rehab:restricted", args=[case.patient_id])


def give(browser, case, *, onward: str = ""):
    return browser.post(question(case), {"ground": "agreed", "next": onward})


def readers(case) -> dict[str, str]:
    """An address of each kind of row that is read as part of a record."""
    visit = create_signed_visit(case=case)
    draft, program = create_visit(case=case), create_issued(case=case)
    return {
        "patient": reverse("cases:patient", args=[case.patient_id]),
        "case": reverse("rehab:case", args=[case.pk]),
        "visit": reverse("rehab:visit", args=[visit.pk]),
        "record": reverse("rehab:visit_record", args=[visit.pk]),
        "notes": reverse("cases:notes", args=[draft.pk]),
        "measures": reverse("assessments:measures", args=[draft.pk]),
        "program": reverse("rehab:home_program", args=[program.pk]),
        "handouts": reverse("rehab:handouts", args=[case.patient_id]),
    }


def test_each_way_into_the_record_asks_why_and_the_answer_opens_it(browser, case):
    pages = readers(case)
    restrict(case)
    for page in pages.values():
        answer = browser.get(page)
        assert (answer.status_code, answer.url.partition("?")[0]) == (302, question(case)), page

    answer = give(browser, case, onward=pages["case"])

    assert answer.url == pages["case"]
    for page in pages.values():
        assert browser.get(page).status_code == 200, page
    assert "Restricted record." in browser.get(pages["case"]).content.decode()


def test_the_reason_stands_in_the_trail(browser, case, physiotherapist):
    restrict(case)
    give(browser, case)

    event = AuditEvent.objects.latest("pk")
    assert (event.actor, event.verb, event.object_id) == (
        physiotherapist,
        "opened restricted",
        case.patient_id,
    )
    assert event.detail == {"ground": "agreed"}


def test_a_reason_opens_one_record_for_one_session(browser, case, physiotherapist):
    other = create_case(lead=physiotherapist)
    restrict(case)
    restrict(other)
    give(browser, case)

    page = reverse("rehab:case", args=[other.pk])
    assert browser.get(page).url.startswith(question(other))
    browser.logout()
    browser.force_login(physiotherapist)
    page = reverse("rehab:case", args=[case.pk])
    assert browser.get(page).url.startswith(question(case))


def test_a_reason_has_to_be_chosen(browser, case):
    restrict(case)
    answer = browser.post(question(case), {})

    assert answer.status_code == 422
    assert "Choose the reason." in answer.content.decode()


def test_htmx_is_led_to_the_question_as_well(browser, case):
    draft = create_visit(case=case)
    restrict(case)
    notes = reverse("cases:notes", args=[draft.pk])
    answer = browser.post(notes, {"plan": "Go on."}, headers={"HX-Request": "true"})

    assert answer["HX-Redirect"].startswith(question(case))
    draft.refresh_from_db()
    assert draft.plan == ""


def test_outside_its_days_a_record_is_open(browser, case):
    today = timezone.localdate()
    past = today - datetime.timedelta(days=9)
    restrict(case, since=past, until=today - datetime.timedelta(days=1))
    restrict(case, since=today + datetime.timedelta(days=1))

    assert browser.get(reverse("rehab:case", args=[case.pk])).status_code == 200
    assert browser.get(question(case)).status_code == 302
    restrict(case, since=past, until=today)
    assert browser.get(reverse("rehab:case", args=[case.pk])).status_code == 302


def test_no_figure_counts_it(case, physiotherapist):
    other = create_case(lead=physiotherapist)
    at = timezone.now() + datetime.timedelta(days=1)
    create_appointment(starts_at=at, practitioner=physiotherapist, patient=other.patient)
    chosen = Chosen(clinic=case.clinic)
    assert list(chosen.cases.order_by("pk")) == [case, other]
    restrict(case)

    assert list(chosen.cases) == [other]
    program, _restricted = create_issued(case=other), create_issued(case=case)
    assert list(chosen.rows_of(type(program).objects.issued())) == [program]
    assert chosen.rows_of(other.patient.appointments.all()).count() == 1


def test_no_reminder_is_sent(case, physiotherapist):
    at = timezone.now() + datetime.timedelta(days=1)
    create_appointment(starts_at=at, practitioner=physiotherapist, patient=case.patient, case=case)
    now = at - datetime.timedelta(hours=3)
    assert [one.patient for one in reminders_due(now=now)] == [case.patient]
    restrict(case, since="2026-03-01")

    assert reminders_due(now=now) == []


def test_nobody_but_the_patient_gets_a_copy(browser, case):
    restrict(case)
    page = reverse("rehab:record_copy_new", args=[case.patient_id])
    asked = {"receiver": "payer", "to_whom": "Harbor Mutual, 3 Quay", "why": "By letter."}
    answer = browser.post(page, asked)

    assert answer.status_code == 422
    assert "The record is restricted" in answer.content.decode()
    browser.post(page, asked | {"receiver": "patient"})
    assert RecordCopy.objects.get().receiver == "patient"


def test_it_is_placed_and_lifted_on_the_page_of_rights(browser, case):
    new = reverse("rehab:restriction_new", args=[case.patient_id])
    assert browser.post(new, {"since": "2026-03-12", "reason": ""}).status_code == 422
    browser.post(new, {"since": "2026-03-12", "until": "", "reason": "In dispute."})
    rights = reverse("rehab:rights", args=[case.patient_id])
    shown = " ".join(browser.get(rights).content.decode().split())
    assert "<strong>Restricted</strong> from 12 Mar 2026: In dispute." in shown

    browser.post(reverse("rehab:restriction_lift", args=[case.patient_id]))
    limit = Restriction.objects.get()
    assert limit.lifted_by == case.lead
    assert browser.get(reverse("rehab:case", args=[case.pk])).status_code == 200
    verbs = AuditEvent.objects.filter(object_type="restriction").values_list("verb", flat=True)
    assert list(verbs.order_by("pk")) == ["restricted", "lifted"]


def test_what_was_written_about_a_restriction_stays(case):
    limit = restrict(case)
    assert refused(changed(limit, reason="Other."), by="restriction_placed_stays")
    limit = Restriction.objects.get()
    limit.lift(by=case.lead, at=timezone.now())

    assert refused(changed(limit, lifted_at=None), by="restriction_lifted_stays")


def test_the_desk_gives_a_reason_and_restricts_nothing(signed_in, front_desk, case):
    desk = signed_in(front_desk)
    new = reverse("rehab:restriction_new", args=[case.patient_id])
    assert desk.post(new, {"since": "2026-03-12", "reason": "x"}).status_code == 403
    restrict(case)
    page = reverse("cases:patient", args=[case.patient_id])

    assert desk.get(page).url.startswith(question(case))
    assert "In dispute." not in desk.get(question(case)).content.decode()
    give(desk, case)
    assert desk.get(page).status_code == 200


def test_another_clinic_has_no_such_record(signed_in, case):
    restrict(case)
    browser = signed_in(create_physiotherapist())

    assert browser.get(question(case)).status_code == 404
    assert browser.get(reverse("rehab:case", args=[case.pk])).status_code == 404
    for name in ("restriction_new", "restriction_lift"):
        assert browser.post(reverse(f"rehab:{name}", args=[case.patient_id])).status_code == 404
