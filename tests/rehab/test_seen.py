"""Who has seen a patient, on one page and in the copy of the record."""

import datetime

import pytest
from django.utils import timezone

from clinic.audit import record
from clinic.models import AuditEvent
from rehab.erasing import erase
from tests.factories.cases import create_case, create_patient, create_visit
from tests.factories.clinic import create_manager
from tests.rehab.copies.whole import archive_of, data_of, make_copy, paper_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist)


def page_of(case) -> str:
    return f"/patients/{case.patient_id}/seen/"


def rows(answer) -> list[tuple]:
    return [
        (one.who, [deed.words for deed in one.looked], [deed.words for deed in one.did])
        for one in answer.context["days"]
    ]


def test_it_says_by_day_and_person_what_was_seen_and_done(
    signed_in, manager, front_desk, physiotherapist, case
):
    treating = signed_in(physiotherapist)
    treating.get(f"/cases/{case.pk}/")
    treating.get(f"/cases/{case.pk}/")
    treating.get(f"/cases/{case.pk}/course/")
    treating.get(f"/cases/{case.pk}/course.pdf")
    signed_in(front_desk).get(f"/cases/{case.pk}/")
    signed_in(front_desk).get(f"/patients/{case.patient_id}/")

    answer = signed_in(manager).get(page_of(case))

    assert rows(answer) == [
        (str(front_desk), ["patient"], ["was refused: case"]),
        (str(physiotherapist), ["course", "case ×2"], ["printed: course"]),
    ]
    page = answer.content.decode()
    assert "<strong>2</strong> people have had this record in hand" in page


def test_what_was_done_names_the_row_in_words(signed_in, manager, physiotherapist, case):
    for verb, number in (("answered", 1), ("opened", 2)):
        AuditEvent.objects.create(
            clinic=manager.clinic, actor=physiotherapist, verb=verb,
            object_type="correctionrequest", object_id=number, patient_key=case.patient_id,
        )  # fmt: skip

    assert rows(signed_in(manager).get(page_of(case))) == [
        (str(physiotherapist), ["request for correction"], ["answered: request for correction"])
    ]


def test_the_look_at_it_is_the_next_entry(signed_in, manager, case):
    browser = signed_in(manager)
    browser.get(page_of(case))

    assert rows(browser.get(page_of(case))) == [(str(manager), ["who has seen"], [])]


def test_nothing_of_another_patient_is_on_it(signed_in, manager, physiotherapist, case):
    other = create_patient(clinic=case.clinic)
    signed_in(physiotherapist).get(f"/patients/{other.pk}/")

    assert rows(signed_in(manager).get(page_of(case))) == []


def test_events_from_before_there_was_a_column_are_found_by_their_row(
    signed_in, manager, physiotherapist, case
):
    visit = create_visit(case=case, practitioner=physiotherapist)
    event = AuditEvent.objects.create(
        clinic=case.clinic,
        actor=physiotherapist,
        verb="opened",
        object_type="visit",
        object_id=visit.pk,
        detail={"page": "notes"},
    )

    answer = signed_in(manager).get(page_of(case))

    assert event.patient_key is None
    assert rows(answer) == [(str(physiotherapist), ["notes"], [])]


def test_days_can_be_chosen(signed_in, manager, physiotherapist, case):
    record(physiotherapist, "printed", case.patient)
    browser, today = signed_in(manager), timezone.localdate()
    yesterday = (today - datetime.timedelta(days=1)).isoformat()

    assert rows(browser.get(page_of(case), {"until": yesterday})) == []
    assert len(rows(browser.get(page_of(case), {"since": today.isoformat()}))) == 2
    wrong = browser.get(page_of(case), {"since": today.isoformat(), "until": yesterday})
    assert (wrong.status_code, rows(wrong)) == (422, [])


def test_more_than_a_page_holds_is_said(signed_in, manager, case, monkeypatch):
    monkeypatch.setattr("rehab.views.seen.MOST", 2)
    for _number in range(3):
        record(manager, "printed", case.patient)

    answer = signed_in(manager).get(page_of(case))

    assert rows(answer) == [(str(manager), [], ["printed: patient ×2"])]
    assert "There are earlier entries." in answer.content.decode()


def test_it_is_for_managers_of_the_clinic(signed_in, manager, physiotherapist, front_desk, case):
    for person, status in (
        (manager, 200), (physiotherapist, 403), (front_desk, 403), (create_manager(), 404),
    ):  # fmt: skip
        assert signed_in(person).get(page_of(case)).status_code == status


def test_the_rights_page_leads_to_it_for_those_who_may(signed_in, manager, physiotherapist, case):
    for person, leads in ((manager, True), (physiotherapist, False)):
        page = signed_in(person).get(f"/patients/{case.patient_id}/rights/").content.decode()
        assert (page_of(case) in page) is leads


def test_the_copy_of_the_record_says_the_same(signed_in, front_desk, physiotherapist, case):
    signed_in(front_desk).get(f"/patients/{case.patient_id}/")
    archive = archive_of(make_copy(case.patient, by=physiotherapist))

    (trail,) = [part for part in data_of(archive)["parts"] if part["kind"] == "trail"]
    looked = [row for row in trail["rows"] if row["verb"] == "opened"]
    assert [(row["actor"]["name"], row["page"]) for row in looked] == [
        (str(front_desk), "cases:patient")
    ]
    assert str(front_desk).replace(" ", "") in paper_of(archive)


def test_what_is_erased_leaves_who_has_seen_it_and_no_content(signed_in, manager, physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic)
    signed_in(physiotherapist).get(f"/patients/{patient.pk}/")
    number, name = patient.record_number, patient.family_name
    erase(patient, by=manager, at=timezone.now() + datetime.timedelta(days=9 * 366))

    answer = signed_in(manager).get("/audit/", {"record": number})

    verbs = [event.verb for event in answer.context["events"]]
    assert verbs == ["erased", "opened"]
    page = answer.content.decode()
    assert f"record {number:04d}, erased" in page
    assert name not in page
