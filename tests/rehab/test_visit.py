"""A visit on one page, signing it, and the page of its case."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Intake
from clinic.models import AuditEvent
from rehab.models import Program
from tests.factories.assessments import create_grip, create_pain, create_questionnaire
from tests.factories.cases import create_appointment, create_case, create_patient, create_visit
from tests.factories.rehab import create_diary, create_draft, create_issued


def visit_page(visit):
    return reverse("rehab:visit", args=[visit.pk])


def sign_page(visit):
    return reverse("rehab:sign", args=[visit.pk])


def case_page(case):
    return reverse("rehab:case", args=[case.pk])


def create_earlier(case, *, days_ago):
    on = timezone.localdate() - datetime.timedelta(days=days_ago)
    visit = create_visit(case=case, on=on)
    create_pain(visit=visit, on_gripping=5, worst_24h=6)
    create_grip(visit=visit)
    create_questionnaire(visit=visit)
    visit.sign(by=visit.practitioner, at=timezone.now())
    return visit


def test_the_visit_holds_all_its_parts(browser, visit, diary):
    page = browser.get(visit_page(visit))

    parts = ("diary", "measures", "battery", "notes", "decision")
    assert [part for part in parts if part in page.context] == list(parts)
    assert "check" not in page.context


def test_the_head_says_what_is_proposed(browser, visit, diary):
    Intake.objects.create(case=visit.case, nights_woken=0)

    said = " ".join(browser.get(visit_page(visit)).content.decode().split())

    assert "Proposed: <strong>Stay · stage 2, light isotonic · add load, 1.2 → 1.3 kg" in said


def test_the_head_asks_for_the_diary_until_yesterday_is_on_record(browser, visit, program):
    def head():
        said = " ".join(browser.get(visit_page(visit)).content.decode().split())
        return said.partition('id="gist"')[2].partition("See why")[0]

    nothing = head()
    create_diary(program=program, days=2)
    behind = head()
    create_diary(program=program, days=1, first=visit.on - datetime.timedelta(days=1))

    assert "No day of the diary is on record yet: type it in first" in nothing
    assert "The diary on record ends on" in behind
    assert "on record" not in head()


def test_from_stage_3_on_the_stage_check_is_asked(browser, case, visit):
    issued = timezone.now() - datetime.timedelta(days=3)
    create_issued(case=case, at=issued, version=1, stage=3)

    assert "check" in browser.get(visit_page(visit)).context


def open_weeks(page):
    return [week.number for week in page.context["diary"].form.weeks if week.is_open]


def test_the_diary_is_open_at_the_week_to_type_until_yesterday_is_written_down(
    browser, visit, program
):
    before = open_weeks(browser.get(visit_page(visit)))
    (first,) = create_diary(program=program, days=1)
    begun = open_weeks(browser.get(visit_page(visit)))
    yesterday = visit.on - datetime.timedelta(days=1)
    create_diary(program=program, days=1, first=yesterday)

    assert first.on < yesterday
    assert (before, begun, open_weeks(browser.get(visit_page(visit)))) == ([1], [1], [])


def test_once_the_next_program_runs_the_diary_of_the_last_is_not_typed_here(
    browser, visit, diary, program
):
    program.end(at=timezone.now())
    create_issued(case=visit.case, version=2)

    assert "diary" not in browser.get(visit_page(visit)).context


def test_at_a_first_visit_there_is_nothing_to_decide(browser, visit):
    page = browser.get(visit_page(visit))

    assert page.context["decision"].proposal is None
    assert "No program is running." in page.content.decode()


def test_a_signed_visit_is_read(browser, visit):
    visit.plan = "Go on."
    visit.save()
    visit.sign(by=visit.practitioner, at=timezone.now())

    page = browser.get(visit_page(visit)).content.decode()

    assert "Go on." in page
    assert "notes-plan" not in page


def test_a_manager_reads_a_draft_and_is_offered_no_form(signed_in, manager, visit, diary):
    page = signed_in(manager).get(visit_page(visit))

    assert page.status_code == 200
    assert page.content.decode().count('method="post"') == 1  # to sign out
    assert "Sign the visit" not in page.content.decode()


def test_signing_is_looked_at_once_more(browser, visit, diary):
    said = [str(sentence) for sentence in browser.get(sign_page(visit)).context["open"]]

    assert said == [
        "No day is set on which the patient is wanted back.",
        "There are no notes.",
        "Nothing was decided about the running program.",
    ]


def test_what_is_finished_is_not_asked_about(browser, visit):
    visit.due_on, visit.plan = timezone.localdate(), "Go on."
    visit.save()
    create_issued(case=visit.case, version=1)

    assert browser.get(sign_page(visit)).context["open"] == []


def test_a_draft_that_was_not_issued_is_asked_about(browser, visit):
    create_draft(case=visit.case, version=1)

    said = [str(sentence) for sentence in browser.get(sign_page(visit)).context["open"]]
    assert said[-2:] == ["No program is running.", "A program is drafted and not issued."]


def test_signing_closes_the_visit(browser, visit, physiotherapist):
    answer = browser.post(sign_page(visit))

    visit.refresh_from_db()
    assert answer.url == case_page(visit.case)
    assert (visit.signed_by, visit.signed_registration) == (physiotherapist, "PH-1001")
    assert AuditEvent.objects.filter(verb="signed", object_id=visit.pk).count() == 1


def test_signing_marks_the_appointment_of_that_day_as_seen(browser, visit):
    here = {"patient": visit.case.patient, "case": visit.case, "practitioner": visit.practitioner}
    now = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
    kept = create_appointment(starts_at=now, status="arrived", **here)
    next_one = create_appointment(starts_at=now + datetime.timedelta(days=14), **here)
    browser.post(sign_page(visit))

    for appointment in (kept, next_one):
        appointment.refresh_from_db()
    assert (kept.status, next_one.status) == ("seen", "booked")
    assert AuditEvent.objects.filter(verb="marked", object_id=kept.pk).count() == 1


def test_of_two_appointments_of_a_day_the_one_that_was_missed_is_not_seen(browser, visit):
    here = {"patient": visit.case.patient, "case": visit.case, "practitioner": visit.practitioner}
    midnight = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
    first = create_appointment(starts_at=midnight, **here)
    later = midnight + datetime.timedelta(minutes=30)
    second = create_appointment(starts_at=later, status="arrived", **here)
    browser.post(sign_page(visit))

    for appointment in (first, second):
        appointment.refresh_from_db()
    assert (first.status, second.status) == ("booked", "seen")


def test_a_signed_visit_is_not_signed_again(browser, visit):
    browser.post(sign_page(visit))

    answer = browser.post(sign_page(visit), follow=True)

    assert "This visit is signed already." in answer.content.decode()
    assert AuditEvent.objects.filter(verb="signed").count() == 1


@pytest.mark.parametrize(
    ("page", "who", "status"),
    [
        (visit_page, "physiotherapist", 200),
        (visit_page, "manager", 200),
        (visit_page, "front_desk", 403),
        (sign_page, "physiotherapist", 200),
        (sign_page, "manager", 403),
        (sign_page, "front_desk", 403),
    ],
)
def test_who_opens_a_visit(request, signed_in, visit, page, who, status):
    assert signed_in(request.getfixturevalue(who)).get(page(visit)).status_code == status


@pytest.mark.parametrize("page", [visit_page, sign_page])
def test_a_visit_of_another_clinic_does_not_exist(browser, page):
    assert browser.get(page(create_visit())).status_code == 404


def test_a_visit_is_only_read_and_signing_not_deleted(browser, visit):
    assert browser.post(visit_page(visit)).status_code == 405
    assert browser.delete(sign_page(visit)).status_code == 405


@pytest.mark.parametrize("rows", [1, 3])
def test_a_visit_costs_the_same_however_many_came_before(
    browser, case, program, rows, django_assert_num_queries
):
    for number in range(rows):
        create_earlier(case, days_ago=10 - number)
    create_diary(program=program, days=rows)
    visit = create_visit(case=case, on=timezone.localdate())

    with django_assert_num_queries(20):
        browser.get(visit_page(visit))


def test_a_new_case_shows_its_steps(browser, physiotherapist):
    case = create_case(lead=physiotherapist)

    page = browser.get(case_page(case))

    states = [(step.label, step.state) for step in page.context["steps"]]
    assert states[:3] == [("Intake", "now"), ("Screening", "todo"), ("Battery", "todo")]
    assert [str(reason) for reason in page.context["open_reasons"]] == [
        "The screening has not been asked yet."
    ]


def test_a_case_shows_program_and_visits(browser, visit, program):
    page = browser.get(case_page(visit.case))

    assert (page.context["program"], page.context["visits"]) == (program, [visit])
    assert "Print the home program" in page.content.decode()
    assert AuditEvent.objects.filter(verb="opened", object_type="case").count() == 1


def test_a_manager_sees_a_case_without_what_only_a_physiotherapist_may(
    signed_in, manager, visit, program
):
    create_draft(case=visit.case, version=2)

    page = signed_in(manager).get(case_page(visit.case)).content.decode()

    case = visit.case_id
    refused = [
        reverse(name, args=[case])
        for name in ("rehab:program", "rehab:diary", "cases:screening", "cases:intake")
    ]
    assert [url for url in refused if f'"{url}"' in page] == []
    assert page.count('method="post"') == 1


def test_a_closed_case_says_so_and_offers_nothing(browser, case, program, today):
    case.close("discharged", on=today, reason="back at work")

    page = browser.get(case_page(case)).content.decode()

    assert "back at work" in page
    assert f'"{reverse("rehab:diary", args=[case.pk])}"' not in page
    assert page.count('method="post"') == 1


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_who_opens_a_case(request, signed_in, case, who, status):
    assert signed_in(request.getfixturevalue(who)).get(case_page(case)).status_code == status


def test_a_case_of_another_clinic_does_not_exist_and_none_is_posted(browser, case):
    assert browser.get(case_page(create_case())).status_code == 404
    assert browser.post(case_page(case)).status_code == 405


@pytest.mark.parametrize("rows", [1, 3])
def test_a_case_costs_the_same_however_many_visits_and_programs(
    browser, case, rows, django_assert_num_queries
):
    for number in range(rows):
        create_earlier(case, days_ago=10 - number)
        issued = timezone.now() - datetime.timedelta(days=9 - number)
        current = Program.objects.current_of(case)
        if current:
            current.end(at=issued)
        create_issued(case=case, at=issued, version=number + 1)

    with django_assert_num_queries(19):
        browser.get(case_page(case))


def papers(patient):
    return reverse("rehab:papers", args=[patient.pk])


@pytest.mark.parametrize("who", ["physiotherapist", "manager", "front_desk"])
def test_everybody_prints_and_the_stage_is_not_named(request, signed_in, program, who):
    page = signed_in(request.getfixturevalue(who)).get(papers(program.case.patient))

    said = page.content.decode()
    assert reverse("rehab:home_program", args=[program.pk]) in said
    assert [word for word in ("stage", "isotonic", "Stage") if word in said] == []


def test_a_draft_is_no_sheet_to_print(signed_in, front_desk, case):
    draft = create_draft(case=case, version=1)

    said = signed_in(front_desk).get(papers(case.patient)).content.decode()
    assert "no program yet" in said
    assert f"/programs/{draft.pk}/" not in said


def test_a_patient_without_an_open_case_has_nothing_to_print(signed_in, front_desk, case, today):
    case.close("discharged", on=today, reason="recovered")

    page = signed_in(front_desk).get(papers(case.patient))
    assert "Nothing to print" in page.content.decode()


def test_papers_of_another_clinic_do_not_exist_and_none_are_posted(browser, case):
    assert browser.get(papers(create_patient())).status_code == 404
    assert browser.post(papers(case.patient)).status_code == 405
