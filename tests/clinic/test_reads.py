"""Who has seen whose data: each page that shows a patient leaves an event, and nothing else does."""

import datetime
import json
import logging

import pytest
from django.db import DatabaseError, transaction
from django.utils import timezone

from cases.models import Patient
from clinic import reads
from clinic.logs import JsonLines
from clinic.models import AuditEvent
from rehab.copies.reach import reach
from rehab.models import Handout
from rehab.sheets import home_program
from tests.factories.cases import create_appointment, create_patient, create_visit
from tests.factories.clinic import create_manager, create_physiotherapist
from tests.factories.rehab import create_issued
from tests.markers import mark, text_fields, words_of
from tests.pages import HTMX
from tests.two_clinics import TEXTS, Asker, create_marked, marks_in
from tests.who_may_what import MANAGER, ROLES, TABLE

pytestmark = pytest.mark.django_db


def told() -> list[tuple]:
    """The verb, page, patient and row of each event, oldest first."""
    columns = ("verb", "page", "patient_key", "object_type", "object_id")
    return list(AuditEvent.objects.order_by("pk").values_list(*columns))


def test_a_page_says_who_which_page_whose_record_and_which_row(browser, physiotherapist, case):
    browser.get(f"/cases/{case.pk}/course/")

    event = AuditEvent.objects.get()
    assert (event.actor, event.request != "") == (physiotherapist, True)
    assert told() == [("opened", "rehab:course", case.patient_id, "case", case.pk)]


# The marks of texts in tables that lead to a patient.
OF_PATIENTS = {
    mark(name)[:12]
    for name, field in text_fields().items()
    if name in TEXTS and field.model in reach()
}
# Shows a name to whoever has the address, which is its own secret; a calendar app asks, and nobody looks.
UNSEEN = {"cases:feed", "cases:display"}


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_no_page_shows_a_patient_without_an_event(role, method):
    """Every address, asked by everybody: where a mark of the record comes out, an event was written."""
    clinic = create_marked()
    somebody, silent, seen = Asker(clinic.people[role]), [], 0
    for name in TABLE.keys() - UNSEEN:
        for _which, address in clinic.addresses(name):
            before = AuditEvent.objects.latest("pk").pk
            written = []
            answer = ask_and_look(somebody, method, address, before, written)
            if answer.status_code in (200, 409, 422) and OF_PATIENTS & marks_in(words_of(answer)):
                seen += 1
                if not written:
                    silent.append(address)

    assert silent == []
    assert seen > (30 if method == "GET" else 3)


def ask_and_look(somebody, method, address, before, written):
    with transaction.atomic():
        answer = somebody.send(method, address)
        written += AuditEvent.objects.filter(pk__gt=before)
        transaction.set_rollback(True)
    return answer


def test_what_is_printed_or_saved_is_told_once(browser, case):
    browser.get(f"/cases/{case.pk}/course.pdf")
    browser.post(f"/cases/{case.pk}/calls/", {"outcome": "reached", "note": ""})

    assert [(verb, patient) for verb, _page, patient, *_row in told()] == [
        ("printed", case.patient_id),
        ("called", case.patient_id),
    ]


def test_a_list_is_noted_with_how_many_it_named_and_no_numbers(browser, case):
    create_patient(clinic=case.clinic)
    browser.get("/patients/")

    event = AuditEvent.objects.get()
    assert (event.verb, event.page, event.patient_key) == ("listed", "cases:patients", None)
    assert event.detail == {"patients": 2}


def test_a_search_is_noted_without_what_was_looked_for(browser, case):
    browser.get("/patients/", {"q": case.patient.family_name})
    browser.get("/patients/", {"q": "nobody of that name"})

    events = list(AuditEvent.objects.order_by("pk"))
    assert [(event.verb, event.detail) for event in events] == [
        ("searched", {"patients": 1}),
        ("searched", {"patients": 0}),
    ]
    assert case.patient.family_name not in str([vars(event) for event in events])


def test_a_page_that_names_no_patient_leaves_nothing(browser, case):
    for address in ("/account/", "/measures/", "/exercises/", "/thresholds/"):
        assert browser.get(address).status_code == 200

    assert told() == []


def test_what_a_page_asks_by_itself_is_noted_once_an_hour(browser, case, physiotherapist):
    visit = create_visit(case=case, practitioner=physiotherapist)
    address = f"/visits/{visit.pk}/decision/"
    browser.get(f"/visits/{visit.pk}/")
    for _number in range(3):
        browser.get(address, **HTMX)

    assert [page for _verb, page, *_rest in told()] == ["rehab:visit"]


def test_sending_the_header_of_htmx_hides_nobody(browser, case):
    for _number in range(3):
        browser.get(f"/cases/{case.pk}/", **HTMX)
        browser.get("/patients/", **HTMX)

    assert [(verb, page) for verb, page, *_rest in told()] == [
        ("opened", "rehab:case"),
        ("listed", "cases:patients"),
    ]


def test_after_the_hour_it_is_noted_again(browser, case, monkeypatch):
    browser.get(f"/cases/{case.pk}/", **HTMX)
    monkeypatch.setattr(reads, "SAME_LOOK", datetime.timedelta(0))
    browser.get(f"/cases/{case.pk}/", **HTMX)

    assert len(told()) == 2


def test_another_persons_look_is_another(signed_in, case, physiotherapist):
    for person in (physiotherapist, create_physiotherapist(clinic=case.clinic)):
        signed_in(person).get(f"/cases/{case.pk}/", **HTMX)

    assert AuditEvent.objects.values("actor").distinct().count() == 2


def test_a_form_that_comes_back_is_a_look(browser, case):
    answer = browser.post(f"/patients/{case.patient_id}/edit/", {"given_name": ""})

    assert answer.status_code in (200, 422)
    assert [(verb, patient) for verb, _page, patient, *_row in told()] == [
        ("opened", case.patient_id)
    ]


def test_who_is_not_let_in_is_noted_with_the_row(signed_in, front_desk, case):
    answer = signed_in(front_desk).get(f"/cases/{case.pk}/")

    assert answer.status_code == 403
    assert told() == [("was refused", "rehab:case", case.patient_id, "case", case.pk)]
    assert AuditEvent.objects.get().detail == {"status": 403}


def test_a_row_that_is_there_and_not_shown_is_noted(signed_in, front_desk, case, physiotherapist):
    kept = Handout.objects.keep(
        b"%PDF-1.4", kind=Handout.Kind.COURSE, about=case, language="en", name="a.pdf",
        by=physiotherapist,
    )  # fmt: skip
    answer = signed_in(front_desk).get(f"/handouts/{kept.pk}/")

    assert answer.status_code == 404
    assert told() == [("was refused", "rehab:handout", case.patient_id, "handout", kept.pk)]


def test_a_row_that_is_not_there_leaves_nothing(browser, case, physiotherapist):
    appointment = create_appointment(
        practitioner=physiotherapist, patient=case.patient, starts_at=timezone.now()
    )
    for address in ("/programs/99999/home-program.pdf", f"/book/absences/{appointment.pk}/"):
        assert browser.get(address).status_code == 404

    assert told() == []


def test_a_row_of_another_clinic_leaves_nothing_in_either(signed_in, case):
    for person in (create_physiotherapist(), create_manager()):
        assert signed_in(person).get(f"/cases/{case.pk}/").status_code == 404

    assert told() == []


def test_a_page_opens_though_nothing_can_be_written(browser, case, monkeypatch, caplog):
    def fails(*_args, **_more):
        raise DatabaseError("attempt to write a readonly database")

    monkeypatch.setattr(AuditEvent.objects, "create", fails)
    with caplog.at_level(logging.ERROR):
        answer = browser.get(f"/cases/{case.pk}/")

    assert answer.status_code == 200
    assert case.patient.family_name in answer.content.decode()
    (line,) = [json.loads(JsonLines().format(one)) for one in caplog.records if one.exc_info]
    assert (line["route"], line["user"]) == ("rehab:case", case.lead_id)
    assert str(case.patient.family_name) not in str(line)


def test_what_has_to_be_told_is_still_refused_without(browser, case, monkeypatch):
    """A sheet is handed out and kept together with its event, or not at all."""

    def fails(*_args, **_more):
        raise DatabaseError("attempt to write a readonly database")

    monkeypatch.setattr(AuditEvent.objects, "create", fails)
    browser.raise_request_exception = False

    assert browser.get(f"/cases/{case.pk}/course.pdf").status_code == 500


def test_a_sheet_that_no_page_has_asked_for_names_its_patient_too(case, physiotherapist):
    """As in the packs of a day, which are many patients' in one request."""
    program = create_issued(case=case)
    home_program(program, now=timezone.now()).hand_out(by=physiotherapist)

    assert AuditEvent.objects.get().patient_key == case.patient_id


def test_nobody_listens_outside_of_a_request(case):
    Patient.objects.get(pk=case.patient_id)

    assert told() == []


def test_the_marks_would_be_found(db):
    """What the walk above looks for is on a page that certainly shows it."""
    clinic = create_marked()
    answer = Asker(clinic.people[MANAGER]).ask("GET", f"/patients/{clinic.numbers['patient']}/")

    assert OF_PATIENTS & marks_in(words_of(answer))
