"""The page on which a program is begun, changed, issued or thrown away."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Intake, Patient, ScreeningAnswer
from clinic.models import AuditEvent
from rehab.models import Program
from tests.factories.cases import create_case, create_clear_screening
from tests.factories.rehab import create_draft, create_issued
from tests.rehab.drafts import filled


@pytest.fixture
def url(case):
    return reverse("rehab:program", args=[case.pk])


@pytest.fixture
def issue(case):
    return reverse("rehab:program_issue", args=[case.pk])


@pytest.fixture
def draft(case):
    return create_draft(case=case, version=1)


def test_low_irritability_proposes_stage_2_and_says_why(browser, url, case):
    Intake.objects.create(
        case=case, rest_pain=1, worst_pain=3, nights_woken=0, lasts_over_24_h=False
    )

    said = " ".join(browser.get(url).content.decode().split())

    assert "The elbow is of <strong>low</strong> irritability" in said
    assert "stage 2, light isotonic" in said


def test_without_an_intake_the_stage_is_the_physiotherapists_choice(browser, url):
    page = browser.get(url)

    assert page.context["entry"].irritability is None
    assert "choose the stage yourself, or fill in what is missing" in page.content.decode()


def test_a_program_is_begun_from_the_chosen_stage(browser, url, case):
    answer = browser.post(url, {"stage": 2, "policy": "standard"})

    draft = Program.objects.draft_of(case)
    assert answer.url == url
    assert (draft.stage, draft.main.card, draft.load_kg) == (2, "lift-and-lower", 1)


@pytest.mark.parametrize(("stage", "policy"), [("", "standard"), (6, "standard"), (2, "mild")])
def test_no_program_begins_from_a_stage_or_policy_that_does_not_exist(browser, url, stage, policy):
    answer = browser.post(url, {"stage": stage, "policy": policy})

    assert (answer.status_code, Program.objects.count()) == (422, 0)


def test_while_a_program_runs_it_is_named_and_not_begun_anew(browser, url, case):
    Intake.objects.create(
        case=case, nights_woken=0, rest_pain=0, worst_pain=3, lasts_over_24_h=False
    )
    before = browser.get(url).content.decode()
    create_issued(case=case, version=1)

    page = browser.get(url).content.decode()

    assert "Build the program" in before
    assert "<strong>Program 1</strong> of stage 2 is running" in page
    assert "a first program would start at stage 2" in page
    assert "Build a new version" in page


def test_under_18_the_ladder_is_not_offered(browser, url, case, issue, today):
    Patient.objects.update(born=today - datetime.timedelta(days=16 * 366))

    page = browser.get(url).content.decode()
    browser.post(url, {"stage": 2, "policy": "standard"})

    assert "Build the program" not in page
    assert Program.objects.count() == 0


def test_a_draft_for_somebody_under_18_is_not_issued(browser, draft, issue, today):
    Patient.objects.update(born=today - datetime.timedelta(days=16 * 366))

    assert browser.post(issue).status_code == 422
    assert not Program.objects.issued().exists()


def test_doses_are_changed_and_the_load_of_the_first_is_the_programs(browser, url, draft):
    page = browser.get(url)

    answer = browser.post(url, filled(page, {"dose-0-load_kg": 1.5, "save": 1}))

    draft.refresh_from_db()
    assert (answer.url, draft.load_kg, draft.start_load_kg) == (url, 1.5, 1.5)


def test_going_on_leads_to_reading_it_once_more(browser, url, draft, issue):
    assert browser.post(url, filled(browser.get(url))).url == issue


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("sets", 11, "Give 1 to 10 sets."),
        ("sets", 0, "Give 1 to 10 sets."),
        ("repetitions", 101, "Give 1 to 100 repetitions, or leave them empty."),
        ("repetitions", "", "Give repetitions, or a hold in seconds."),
        ("load_kg", 51, "Enter a load up to 50 kg, 0 for none, or leave it empty."),
        ("up_s", 0, "Give 1 to 60 seconds, or leave it empty."),
        ("days_per_week", 8, "Give 1 to 7 days a week."),
        ("sessions_per_day", 5, "Give 1 to 4 times a day."),
        ("sets", "three", "Enter a whole number."),
    ],
)
def test_a_wrong_dose_is_answered_at_its_field(browser, url, draft, field, value, sentence):
    page = browser.get(url)

    answer = browser.post(url, filled(page, {f"dose-0-{field}": value}, remark="Kept."))

    assert answer.status_code == 422
    assert answer.context["doses"].errors[0] == {field: [sentence]}
    assert answer.context["form"]["remark"].value() == "Kept."


def test_an_unlikely_step_is_refused_in_words(browser, url, draft):
    answer = browser.post(url, filled(browser.get(url), smallest_step_kg=6))

    assert answer.context["form"].errors == {
        "smallest_step_kg": ["Enter a step from 0.05 to 5 kg."]
    }


def test_adding_an_exercise_keeps_what_was_typed(browser, url, draft):
    page = browser.get(url)

    answer = browser.post(url, filled(page, {"dose-0-sets": 4, "add": "turn-palm"}))

    exercises = [(e.card, e.sets) for e in draft.exercises.all()]
    assert answer.url == url
    assert exercises == [("lift-and-lower", 4), ("fist-hold", 5), ("turn-palm", 3)]


@pytest.mark.parametrize("code", ["shadow-swing", "handstand", "lift-and-lower"])
def test_an_exercise_of_another_stage_or_none_is_not_added(browser, url, draft, code):
    answer = browser.post(url, filled(browser.get(url), {"add": code}), follow=True)

    words = "Choose an exercise of this stage that is not in the program yet."
    assert words in answer.content.decode()
    assert draft.exercises.count() == 2


def test_an_exercise_is_taken_out(browser, url, draft):
    browser.post(url, filled(browser.get(url), {"dose-0-DELETE": "on"}))

    draft.refresh_from_db()
    assert [e.card for e in draft.exercises.all()] == ["fist-hold"]
    assert draft.load_kg is None


def test_two_who_change_the_same_draft_see_both_versions(browser, url, draft):
    page = browser.get(url)
    Program.objects.update(remark="Theirs.")

    answer = browser.post(url, filled(page, remark="Mine."))

    shown = [(c.theirs, c.mine) for c in answer.context["form"].conflicts]
    assert (answer.status_code, shown) == (422, [("Theirs.", "Mine.")])


def test_two_who_change_the_same_dose_see_both_versions(browser, url, draft):
    page = browser.get(url)
    draft.exercises.filter(position=1).update(sets=5)

    refused = browser.post(url, filled(page, {"dose-0-sets": 2}))

    (conflict,) = refused.context["doses"].forms[0].conflicts
    assert (refused.status_code, conflict.theirs, conflict.mine) == (422, 5, 2)
    assert draft.exercises.get(position=1).sets == 5


def test_a_dose_that_was_compared_is_saved_at_the_second_time(browser, url, draft):
    page = browser.get(url)
    draft.exercises.filter(position=1).update(sets=5)
    refused = browser.post(url, filled(page, {"dose-0-sets": 2, "save": 1}))

    again = browser.post(url, filled(refused, {"save": 1}))

    assert (again.status_code, draft.exercises.get(position=1).sets) == (302, 2)


def test_of_two_saves_from_one_opening_the_later_loses_nothing_that_was_typed(browser, url, draft):
    page = browser.get(url)
    browser.post(url, filled(page, {"dose-1-hold_s": 25, "save": 1}))

    refused = browser.post(
        url, filled(page, {"dose-0-sets": 2, "dose-1-hold_s": 40, "save": 1}, remark="Mine.")
    )

    typed, doses = filled(refused), refused.context["doses"].forms
    shown = [[(one.theirs, one.mine) for one in dose.conflicts] for dose in doses]
    assert (refused.status_code, shown) == (422, [[], [(25, 40)]])
    assert (typed["dose-0-sets"], typed["dose-1-hold_s"], typed["remark"]) == ("2", "40", "Mine.")
    assert [(one.sets, one.hold_s) for one in draft.exercises.all()] == [(3, None), (5, 25)]


def test_an_exercise_is_not_taken_out_over_a_dose_that_was_changed_meanwhile(browser, url, draft):
    page = browser.get(url)
    draft.exercises.filter(position=2).update(hold_s=25)
    out = {"dose-1-DELETE": "on", "save": 1}

    refused = browser.post(url, filled(page, out))
    kept = draft.exercises.count()
    again = browser.post(url, filled(refused, out))

    assert (refused.status_code, kept) == (422, 2)
    assert (again.status_code, draft.exercises.count()) == (302, 1)


def test_issuing_makes_the_draft_the_current_program(browser, draft, issue, case):
    answer = browser.post(issue)

    current = Program.objects.current_of(case)
    assert answer.url == reverse("rehab:case", args=[case.pk])
    assert (current.pk, current.issued_by) == (draft.pk, case.lead)
    assert AuditEvent.objects.get(verb="issued").detail == {"version": 1, "stage": 2}


def test_a_second_press_of_issue_says_so(browser, draft, issue, case):
    browser.post(issue)

    answer = browser.post(issue, follow=True)

    assert "There is no draft to issue; it may have been issued already." in (
        answer.content.decode()
    )
    assert Program.objects.issued().count() == 1


@pytest.mark.parametrize("given", ["yes", "unknown"])
def test_an_open_screening_answer_stops_issuing_until_it_is_acted_on(
    browser, draft, issue, case, given
):
    answer = ScreeningAnswer.objects.get(question="hot-joint")
    ScreeningAnswer.objects.filter(pk=answer.pk).update(answer=given)

    page = browser.get(issue)
    refused = browser.post(issue)
    answer.act("Sent to hospital.", by=case.lead, at=timezone.now())

    assert "It can't be issued yet" in page.content.decode()
    assert (refused.status_code, browser.post(issue).status_code) == (422, 302)


def test_a_question_that_was_not_asked_stops_issuing(browser, draft, issue):
    ScreeningAnswer.objects.filter(question="fracture").delete()

    assert browser.post(issue).status_code == 422


@pytest.mark.parametrize("page", ["rehab:program", "rehab:program_issue"])
def test_what_the_screening_puts_off_stands_with_the_program(browser, case, draft, page):
    url = reverse(page, args=[case.pk])
    before = browser.get(url).content.decode()
    ScreeningAnswer.objects.filter(question="long-holds").update(answer="yes")
    after = browser.get(url).content.decode()

    words = "The screening puts off long holds: high blood pressure, heart disease"
    assert (words in before, words in after) == (False, True)
    assert "Ask the doctor before long holds." in after


def test_without_a_screening_nothing_is_issued(browser, physiotherapist):
    draft = create_draft(case=create_case(lead=physiotherapist))

    answer = browser.post(reverse("rehab:program_issue", args=[draft.case_id]))

    assert [str(reason) for reason in answer.context["reasons"]] == [
        "The screening has not been asked yet."
    ]


def test_a_program_without_an_exercise_is_not_issued(browser, draft, issue):
    draft.exercises.all().delete()

    answer = browser.post(issue)

    assert answer.status_code == 422
    assert "A program needs at least one exercise." in answer.content.decode()


def test_a_draft_is_thrown_away_and_what_was_issued_stays(browser, case):
    issued = create_issued(case=case, version=1)
    create_draft(case=case, version=2)

    browser.post(reverse("rehab:program_discard", args=[case.pk]))

    assert list(Program.objects.of_case(case)) == [issued]
    assert AuditEvent.objects.get(verb="discarded").detail == {"version": 2}


def test_a_closed_case_gets_no_program(browser, url, issue, draft, case, today):
    case.close("discharged", on=today, reason="settled")

    assert browser.post(url, {"stage": 2, "policy": "standard"}).url == reverse(
        "rehab:case", args=[case.pk]
    )
    assert browser.post(issue).status_code == 422


VIEWS = ["rehab:program", "rehab:program_issue", "rehab:program_discard"]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("who", ["front_desk", "manager"])
def test_only_who_treats_prescribes(request, signed_in, draft, view, who):
    browser = signed_in(request.getfixturevalue(who))

    assert browser.post(reverse(view, args=[draft.case_id])).status_code == 403


@pytest.mark.parametrize("view", VIEWS)
def test_a_program_in_another_clinic_does_not_exist(browser, view):
    elsewhere = create_draft(case=create_case()).case
    create_clear_screening(case=elsewhere)

    assert browser.post(reverse(view, args=[elsewhere.pk])).status_code == 404
    assert Program.objects.drafts().count() == 1


@pytest.mark.parametrize("view", VIEWS)
def test_a_program_is_not_deleted(browser, draft, view):
    assert browser.delete(reverse(view, args=[draft.case_id])).status_code == 405
