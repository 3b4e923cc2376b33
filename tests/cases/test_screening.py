"""Asking the screening questions, and writing down what was done."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.clinical.screening import QUESTIONS
from cases.models import Screening, ScreeningAnswer
from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_clear_screening
from tests.pages import DONE, TYPING, typed

ALL_NO = {question.code: "no" for question in QUESTIONS}


def address(case):
    return reverse("cases:screening", args=[case.pk])


def action_address(case, code):
    answer = ScreeningAnswer.objects.get(screening__case=case, question=code)
    return reverse("cases:screening_action", args=[answer.pk])


def screen(browser, case, **answers):
    """Answer today's questions no, but for `answers` by code with underscores."""
    page = browser.get(address(case))
    changes = ALL_NO | {code.replace("_", "-"): answer for code, answer in answers.items()}
    return browser.post(address(case), typed(page, changes) | DONE)


def answers_of(case):
    return dict(case.screenings.get().answers.values_list("question", "answer"))


def test_every_question_is_asked_under_what_a_yes_calls_for(browser, case):
    form = browser.get(address(case)).context["form"]

    asked = [(action, row.question.code) for action, rows in form.groups() for row in rows]
    assert sorted(asked) == sorted((question.action, question.code) for question in QUESTIONS)
    assert [action for action, _rows in form.groups()] == ["emergency", "refer", "defer", "caution"]


def test_answers_are_kept_as_todays_round(browser, case, physiotherapist):
    answer = screen(browser, case, snapping="yes")

    screening = case.screenings.get()
    assert (screening.on, screening.asked_by) == (timezone.localdate(), physiotherapist)
    assert answers_of(case) == ALL_NO | {"snapping": "yes"}
    assert answer.url == reverse("rehab:case", args=[case.pk])


def test_answers_save_themselves_while_they_are_given(browser, case):
    page = browser.get(address(case))

    answer = browser.post(address(case), typed(page, {"fracture": "no"}), **TYPING)

    assert answers_of(case) == {"fracture": "no"}
    assert answer.content.decode().strip().startswith('<div id="screening-state">')


def test_a_note_is_kept_with_its_answer(browser, case):
    page = browser.get(address(case))
    note = {"fracture": "yes", "fracture-note": "fell from a ladder"}

    browser.post(address(case), typed(page, note), **TYPING)

    assert case.screenings.get().answers.get().note == "fell from a ladder"


def test_a_note_without_an_answer_asks_for_one(browser, case):
    page = browser.get(address(case))

    answer = browser.post(address(case), typed(page, {"fracture-note": "fell"}) | DONE)

    sentence = "There is a note, but no answer. Choose one."
    assert answer.context["form"].errors == {"fracture": [sentence]}
    assert case.screenings.count() == 0


def test_an_answer_that_is_none_is_refused(browser, case):
    page = browser.get(address(case))

    answer = browser.post(address(case), typed(page, {"fracture": "perhaps"}) | DONE)

    assert (answer.status_code, list(answer.context["form"].errors)) == (422, ["fracture"])


def test_no_to_the_rest_leaves_given_answers_as_they_are(browser, case):
    page = browser.get(address(case))

    answer = browser.post(address(case), typed(page, {"snapping": "yes"}) | {"all_no": "1"})

    assert answers_of(case) == ALL_NO | {"snapping": "yes"}
    assert answer.url == address(case)


def test_the_days_round_is_changed_not_doubled(browser, case):
    screen(browser, case)
    screen(browser, case, snapping="unknown")

    assert answers_of(case) == ALL_NO | {"snapping": "unknown"}


def test_a_new_day_begins_a_new_round_beside_the_last_one(browser, case):
    before = create_clear_screening(case=case, snapping="yes")

    page = browser.get(address(case))
    screen(browser, case)

    assert page.context["form"]["snapping"].value() == ""
    assert page.context["form"].before["snapping"].answer == "yes"
    assert Screening.objects.exclude(pk=before.pk).get().on == timezone.localdate()


def test_unanswered_questions_are_counted_and_named(browser, case):
    page = browser.get(address(case))
    some = {code: "no" for code in ALL_NO if code not in ("cancer", "snapping")}

    state = browser.post(address(case), typed(page, some), **TYPING).content.decode()

    assert "2 questions are not asked yet" in state
    assert "fold of joint lining at the radial head (plica); malignancy." in " ".join(state.split())


@pytest.mark.parametrize("answer", ["yes", "unknown"])
def test_a_stopping_answer_waits_for_what_was_done(browser, case, answer):
    there = screen(browser, case, fracture=answer)

    page = browser.get(there.url)

    assert there.url == address(case)
    assert [waiting.question for waiting in page.context["screening"].waiting] == ["fracture"]
    assert not page.context["screening"].may_issue
    assert action_address(case, "fracture") in page.content.decode()


def test_what_was_done_is_kept_with_person_and_time(browser, case, physiotherapist):
    screen(browser, case, fracture="yes")
    there = action_address(case, "fracture")
    page = browser.get(there)

    browser.post(there, typed(page, action_taken="X-ray ordered, sling."))

    done = ScreeningAnswer.objects.get(question="fracture")
    assert (done.action_taken, done.action_by) == ("X-ray ordered, sling.", physiotherapist)
    assert timezone.now() - done.action_at < datetime.timedelta(minutes=1)
    assert browser.get(address(case)).context["screening"].may_issue


def test_what_was_done_stays_when_answers_are_saved_again(browser, case):
    screen(browser, case, fracture="yes")
    there = action_address(case, "fracture")
    browser.post(there, typed(browser.get(there), action_taken="X-ray ordered."))

    screen(browser, case, fracture="yes", snapping="yes")

    assert ScreeningAnswer.objects.get(question="fracture").action_taken == "X-ray ordered."


def proposed(browser, case, to):
    page = browser.get(f"{action_address(case, 'fracture')}?letter={to}")
    return page.context["form"]["action_taken"].value()


def test_a_letter_that_was_given_is_proposed_as_done_and_written_by_nobody(browser, case):
    screen(browser, case, fracture="yes")
    sentence = "Letter to the family doctor given to the patient on "

    assert proposed(browser, case, "family-doctor").startswith(sentence)
    assert proposed(browser, case, "the-harbor-master") == ""
    assert ScreeningAnswer.objects.get(question="fracture").action_taken == ""


def test_a_letter_takes_the_place_of_nothing_that_is_written_down(browser, case, physiotherapist):
    screen(browser, case, fracture="yes")
    ScreeningAnswer.objects.get(question="fracture").act(
        "X-ray ordered.", by=physiotherapist, at=timezone.now()
    )

    assert proposed(browser, case, "family-doctor") == "X-ray ordered."


def rounds(case, *answers):
    """Rounds a week apart, the last one today, each with its answer about a fracture."""
    for back, answer in enumerate(answers[::-1]):
        on = timezone.localdate() - datetime.timedelta(weeks=back)
        screening = create_clear_screening(case=case, fracture=answer)
        Screening.objects.filter(pk=screening.pk).update(on=on)
    return ScreeningAnswer.objects.of_question(case.pk, "fracture")


@pytest.mark.parametrize(
    ("answers", "weeks"),
    [
        (["yes"], 0),
        (["yes", "yes"], 1),
        (["yes", "no", "yes"], 0),
        (["no", "yes", "yes", "yes"], 2),
    ],
)
def test_an_answer_is_the_same_since_the_first_round_after_it_was_otherwise(case, answers, weeks):
    last = rounds(case, *answers)[0]

    assert last.since == timezone.localdate() - datetime.timedelta(weeks=weeks)


@pytest.mark.parametrize(
    ("answers", "to_act_on"),
    [
        (["yes"], [True]),
        (["yes", "yes"], [True, False]),
        (["yes", "no"], [False, False]),
        (["no", "unknown"], [True, False]),
    ],
)
def test_only_the_last_round_is_acted_on(case, answers, to_act_on):
    assert [answer.is_to_act_on for answer in rounds(case, *answers)] == to_act_on


def test_what_was_done_can_not_be_empty(browser, case):
    screen(browser, case, fracture="yes")
    there = action_address(case, "fracture")

    answer = browser.post(there, typed(browser.get(there), action_taken=" "))

    assert answer.context["form"].errors == {"action_taken": ["Write what was done."]}


def test_two_who_write_what_was_done_see_both_versions(browser, case, physiotherapist):
    screen(browser, case, fracture="yes")
    there = action_address(case, "fracture")
    opened = browser.get(there)
    ScreeningAnswer.objects.get(question="fracture").act(
        "Theirs.", by=physiotherapist, at=timezone.now()
    )

    answer = browser.post(there, typed(opened, action_taken="Mine."))

    assert [(c.theirs, c.mine) for c in answer.context["form"].conflicts] == [("Theirs.", "Mine.")]
    assert ScreeningAnswer.objects.get(question="fracture").action_taken == "Theirs."


def test_a_stale_round_is_shown_beside_what_is_there(browser, case):
    screen(browser, case)
    opened = browser.get(address(case))
    ScreeningAnswer.objects.filter(question="cancer").update(answer="yes")

    answer = browser.post(address(case), typed(opened, snapping="yes") | DONE)

    shown = {(str(c.label), c.theirs, c.mine) for c in answer.context["form"].conflicts}
    plica = "fold of joint lining at the radial head (plica)"
    assert shown == {("malignancy", "yes", "no"), (plica, "no", "yes")}
    assert answers_of(case) == ALL_NO | {"cancer": "yes"}


def test_the_audit_trail_names_questions_and_no_notes(browser, case):
    page = browser.get(address(case))

    note = {"fracture": "yes", "fracture-note": "fell from a ladder"}
    browser.post(address(case), typed(page, note), **TYPING)

    event = AuditEvent.objects.get(verb="screened")
    assert (event.object_id, event.detail) == (case.pk, {"questions": ["fracture"]})


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_who_treats_screens(request, signed_in, case, who, status):
    create_clear_screening(case=case, fracture="yes")
    client = signed_in(request.getfixturevalue(who))

    pages = (address(case), action_address(case, "fracture"))
    assert [client.get(page).status_code for page in pages] == [status, status]


def test_screening_of_another_clinic_does_not_exist(browser):
    theirs = create_case()
    create_clear_screening(case=theirs, fracture="yes")

    pages = (address(theirs), action_address(theirs, "fracture"))
    assert [browser.get(page).status_code for page in pages] == [404, 404]
    assert [browser.post(page).status_code for page in pages] == [404, 404]


def test_screening_is_not_deleted(browser, case):
    create_clear_screening(case=case)

    pages = (address(case), action_address(case, "fracture"))
    assert [browser.delete(page).status_code for page in pages] == [405, 405]


@pytest.mark.parametrize("rounds", [1, 3])
def test_screening_costs_the_same_however_many_rounds(
    browser, case, django_assert_num_queries, rounds
):
    for _round in range(rounds):
        create_clear_screening(case=case, fracture="yes")

    with django_assert_num_queries(7):
        browser.get(address(case))
