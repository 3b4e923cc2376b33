"""The views that show a sheet as a page, and send it as a file."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from clinic.models import AuditEvent
from rehab.models import Handout
from tests.factories.assessments import create_pain
from tests.factories.cases import create_appointment, create_case, create_patient, create_visit
from tests.factories.clinic import create_front_desk, create_physiotherapist
from tests.factories.rehab import create_draft, create_issued
from tests.rehab.pages.reading import main, parsed, words

PAGE, FILE, ENTRY = "rehab:home_program_page", "rehab:home_program_file", "rehab:next_visit_entry"
VIEWS = [PAGE, FILE, ENTRY]
each_view = pytest.mark.parametrize("view", VIEWS)


@pytest.fixture
def program(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, record_number=217)
    return create_issued(case=create_case(lead=physiotherapist, patient=patient))


@pytest.fixture
def booked(program):
    starts = timezone.now() + datetime.timedelta(days=7)
    return create_appointment(
        practitioner=program.case.lead,
        patient=program.case.patient,
        case=program.case,
        starts_at=starts.replace(hour=9, minute=30, second=0, microsecond=0),
    )


def address(view, program) -> str:
    return reverse(view, args=[program.pk])


@each_view
@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_of_the_clinic_may_have_it(request, signed_in, program, booked, view, role):
    staff = request.getfixturevalue(role)

    assert signed_in(staff).get(address(view, program)).status_code == 200


@each_view
def test_a_program_of_another_clinic_does_not_exist(signed_in, program, booked, view):
    stranger = signed_in(create_front_desk())

    assert stranger.get(address(view, program)).status_code == 404
    assert (AuditEvent.objects.count(), Handout.objects.count()) == (0, 0)


@each_view
def test_a_draft_is_neither_shown_nor_sent(signed_in, physiotherapist, view):
    draft = create_draft(case=create_case(lead=physiotherapist))

    assert signed_in(physiotherapist).get(address(view, draft)).status_code == 404


@each_view
def test_nobody_has_it_without_signing_in_and_nothing_is_posted(client, program, booked, view):
    assert client.get(address(view, program)).status_code == 302
    client.force_login(program.case.lead)

    assert client.post(address(view, program)).status_code == 405


def test_the_page_is_in_the_patients_language_and_print_size(browser, program):
    program.case.patient.language, program.case.patient.print_size = "es", "large"
    program.case.patient.save()
    page = parsed(browser.get(address(PAGE, program)).content)

    assert (page.get("lang"), page.get("class").split()) == ("es", ["large"])
    assert "Programa para la casa" in words(page)
    assert "What the patient reads." in words(page)


def test_a_name_that_can_not_be_printed_can_be_read(browser, program):
    program.case.patient.family_name = "王"
    program.case.patient.save()
    page = browser.get(address(PAGE, program))

    assert page.status_code == 200
    assert "Marit 王" in words(main(page.content))


def test_looking_is_in_the_trail_and_hands_out_nothing(signed_in, front_desk, program):
    signed_in(front_desk).get(address(PAGE, program))

    event = AuditEvent.objects.get()
    assert (event.actor, event.verb, event.object_id) == (front_desk, "opened", program.pk)
    assert event.page == "rehab:home_program_page"
    assert Handout.objects.count() == 0


@pytest.mark.parametrize(
    ("role", "back"), [("physiotherapist", "rehab:case"), ("front_desk", "rehab:papers")]
)
def test_the_way_back_is_to_a_page_that_the_person_may_open(
    request, signed_in, program, role, back
):
    client = signed_in(request.getfixturevalue(role))
    page = parsed(client.get(address(PAGE, program)).content)

    pk = program.case_id if back == "rehab:case" else program.case.patient_id
    (led, *_others) = page.xpath("//header//a/@href")
    assert led == reverse(back, args=[pk])
    assert client.get(led).status_code == 200


def test_the_file_is_saved_kept_and_in_the_trail(signed_in, front_desk, program):
    answer = signed_in(front_desk).get(address(FILE, program))

    kept = Handout.objects.get()
    name = "home-program-0217-v2.html"
    assert answer["Content-Disposition"] == f'attachment; filename="{name}"'
    assert (answer["Content-Type"], answer["Cache-Control"]) == ("text/html", "no-store")
    assert (kept.kind, kept.name, kept.language) == ("home program page", name, "en")
    assert (kept.as_it_was(), kept.program) == (answer.content, program)
    event = AuditEvent.objects.get()
    assert (event.verb, event.object_id) == ("saved", program.pk)
    assert event.detail == {"what": "home program page", "sha": kept.mark}


def test_a_file_that_was_sent_is_saved_again_as_it_was(browser, program):
    first = browser.get(address(FILE, program))
    program.clinic.name = "Quayside Physiotherapy"
    program.clinic.save()
    kept = Handout.objects.get()
    second = browser.get(reverse("rehab:handout", args=[kept.pk]))

    assert (second.content, second["Content-Type"]) == (first.content, "text/html")
    assert second["Content-Disposition"] == first["Content-Disposition"]
    assert AuditEvent.objects.latest("pk").verb == "saved again"


def test_the_list_of_handouts_offers_to_save_a_file_and_to_print_a_sheet(browser, program):
    browser.get(address(FILE, program))
    browser.get(reverse("rehab:home_program", args=[program.pk]))
    page = browser.get(reverse("rehab:handouts", args=[program.case.patient_id]))

    rows = [words(row) for row in parsed(page.content).xpath("//tbody/tr")]
    assert ["Save again" in row for row in rows] == [False, True]
    assert ["Print again" in row for row in rows] == [True, False]
    assert "home program as a page" in rows[1]


def test_the_entry_is_a_calendar_that_the_standard_takes(browser, program, booked):
    answer = browser.get(address(ENTRY, program))

    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="appointment.ics"'
    calendar = Calendar.from_ical(answer.content)
    assert calendar.validate() is None
    # RFC 5545, 3.6: PRODID and VERSION; 3.6.1: UID and DTSTAMP, and DTSTART because there is no METHOD.
    assert [name for name in ("PRODID", "VERSION") if name not in calendar] == []
    (event,) = calendar.events
    assert [name for name in ("UID", "DTSTAMP", "DTSTART") if name not in event] == []
    assert "METHOD" not in calendar
    assert (event.start, event.end) == (booked.starts_at, booked.ends_at)
    assert answer.content.endswith(b"END:VCALENDAR\r\n")


def test_without_a_booking_there_is_no_entry(browser, program):
    assert browser.get(address(ENTRY, program)).status_code == 404


def test_the_page_leads_to_the_entry(browser, program, booked):
    page = parsed(browser.get(address(PAGE, program)).content)

    assert page.xpath("//a[@download]/@href") == [address(ENTRY, program)]


def test_the_case_page_and_the_papers_page_lead_to_it(browser, program):
    pages = (
        reverse("rehab:case", args=[program.case_id]),
        reverse("rehab:papers", args=[program.case.patient_id]),
    )

    assert [address(PAGE, program) in browser.get(url).content.decode() for url in pages] == [
        True,
        True,
    ]


SUMMARY, SUMMARY_FILE = "rehab:summary_page", "rehab:summary_file"
each_summary_view = pytest.mark.parametrize("view", [SUMMARY, SUMMARY_FILE])


def of_case(view, case) -> str:
    return reverse(view, args=[case.pk])


@each_summary_view
@pytest.mark.parametrize(
    ("role", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_clinical_readers_alone_have_the_summary(request, signed_in, case, view, role, status):
    staff = request.getfixturevalue(role)

    assert signed_in(staff).get(of_case(view, case)).status_code == status
    assert Handout.objects.exists() is (status == 200 and view == SUMMARY_FILE)


@each_summary_view
def test_a_summary_of_another_clinic_does_not_exist(signed_in, case, view):
    stranger = signed_in(create_physiotherapist())

    assert stranger.get(of_case(view, case)).status_code == 404
    assert (AuditEvent.objects.count(), Handout.objects.count()) == (0, 0)


@each_summary_view
def test_nobody_has_a_summary_without_signing_in_and_nothing_is_posted(client, case, view):
    assert client.get(of_case(view, case)).status_code == 302
    client.force_login(case.lead)

    assert client.post(of_case(view, case)).status_code == 405


def test_the_summary_of_the_record_is_in_the_patients_language_and_print_size(browser, case):
    case.patient.language, case.patient.print_size = "es", "large"
    case.patient.save()
    create_pain(visit=create_visit(case=case), on_gripping=4)
    page = parsed(browser.get(of_case(SUMMARY, case)).content)

    assert (page.get("lang"), page.get("class").split()) == ("es", ["large"])
    assert page.xpath("//header//a/@href") == [
        reverse("rehab:case", args=[case.pk]),
        of_case(SUMMARY_FILE, case),
        reverse("rehab:summary", args=[case.pk]),
    ]
    event = AuditEvent.objects.get()
    assert (event.verb, event.object_id, event.page) == ("opened", case.pk, "rehab:summary_page")


def test_the_file_of_a_summary_is_saved_kept_and_in_the_trail(browser, case):
    answer = browser.get(of_case(SUMMARY_FILE, case))

    kept, day = Handout.objects.get(), timezone.localdate()
    name = f"summary-{case.patient.record}-{day:%Y-%m-%d}.html"
    assert answer["Content-Disposition"] == f'attachment; filename="{name}"'
    assert (kept.kind, kept.case, kept.program) == ("summary page", case, None)
    assert kept.as_it_was() == answer.content
    assert AuditEvent.objects.get().verb == "saved"


def test_the_case_page_leads_to_the_page_of_the_summary(browser, case):
    create_visit(case=case)
    page = browser.get(reverse("rehab:case", args=[case.pk]))

    assert of_case(SUMMARY, case) in page.content.decode()


def test_the_page_of_a_summary_asks_no_more_however_often_was_measured(browser, case):
    with CaptureQueriesContext(connection) as few:
        browser.get(of_case(SUMMARY, case))
    for day in range(4):
        visit = create_visit(case=case, on=case.opened + datetime.timedelta(days=day))
        create_pain(visit=visit, on_gripping=6 - day)
        visit.sign(by=case.lead, at=timezone.now())
    with CaptureQueriesContext(connection) as some:
        browser.get(of_case(SUMMARY, case))
    more = create_visit(case=case, on=case.opened + datetime.timedelta(days=5))
    create_pain(visit=more, on_gripping=1)
    more.sign(by=case.lead, at=timezone.now())
    with CaptureQueriesContext(connection) as many:
        browser.get(of_case(SUMMARY, case))

    assert len(few) <= len(some) == len(many)
