"""What is examined at a screening, what does not fit the answers, and the rounds before."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.clinical.screening import QUESTIONS
from cases.models import Intake, ScreeningSign
from clinic.models import AuditEvent
from tests.factories.cases import create_clear_screening
from tests.pages import DONE, TYPING, typed

ALL_NO = {question.code: "no" for question in QUESTIONS}
NECK = {
    "sign-tension-test": "found",
    "sign-spurling": "found",
    "sign-distraction": "found",
    "sign-rotation-under-60": "absent",
}


def address(case):
    return reverse("cases:screening", args=[case.pk])


def screen(browser, case, **changes):
    page = browser.get(address(case))
    return browser.post(address(case), typed(page, ALL_NO | changes) | DONE)


def signs_of(case) -> list[tuple[str, str, str]]:
    return sorted(case.screenings.get().signs.values_list("sign", "side", "outcome"))


def sentences(page) -> list[str]:
    return [str(reading.sentence) for reading in page.context["screening"].readings]


def asked_again(page) -> list[str]:
    return [str(sentence) for sentence in page.context["screening"].asked_again]


def test_signs_are_kept_with_their_side(browser, case):
    screen(browser, case, **{"sign-not-straight-left": "found", "sign-red": "absent"})

    assert signs_of(case) == [("not-straight", "left", "found"), ("red", "", "absent")]


def test_a_sign_is_changed_and_taken_back(browser, case):
    screen(browser, case, **{"sign-not-straight-left": "found", "sign-red": "absent"})
    screen(browser, case, **{"sign-not-straight-left": "absent", "sign-red": ""})

    assert signs_of(case) == [("not-straight", "left", "absent")]


def test_signs_save_themselves_and_are_read_at_once(browser, case):
    page = browser.get(address(case))

    state = browser.post(address(case), typed(page, NECK), **TYPING).content.decode()

    assert "3 of 4 found." in state
    assert "<strong>6.1 likelihood ratio</strong>" in state
    assert ".88" not in state


def test_an_outcome_that_is_none_is_refused(browser, case):
    answer = screen(browser, case, **{"sign-red": "perhaps"})

    assert (answer.status_code, list(answer.context["form"].errors)) == (422, ["sign-red"])
    assert ScreeningSign.objects.count() == 0


def test_no_to_the_rest_tests_nothing(browser, case):
    page = browser.get(address(case))

    browser.post(address(case), typed(page) | {"all_no": "1"})

    assert signs_of(case) == []


def test_an_elbow_that_stays_bent_disputes_a_no_to_fracture(browser, case):
    screen(browser, case, **{"sign-not-straight-right": "found"})

    page = browser.get(address(case))
    assert "<strong>some do not fit together</strong>" in page.content.decode()
    assert asked_again(page) == [
        "Elbow extension test, after an injury: enough was found to ask, but “fracture or "
        "dislocation” is answered no. Which is right?"
    ]
    assert sentences(page) == [
        "Can't straighten fully (right). After an injury: X-ray, and no resisted tests before it."
    ]


@pytest.mark.parametrize("answer", ["yes", "unknown"])
def test_what_fits_the_answer_is_not_asked_again(browser, case, answer):
    screen(browser, case, **{"sign-not-straight-right": "found", "fracture": answer})

    assert asked_again(browser.get(address(case))) == []


def test_two_of_four_neck_signs_dispute_nothing(browser, case):
    screen(browser, case, **(NECK | {"sign-distraction": "absent"}))

    page = browser.get(address(case))
    assert asked_again(page) == []
    assert sentences(page) == ["2 of 4 found; a figure is published for three and for four only."]


def test_the_intake_is_held_against_the_screening(browser, case):
    Intake.objects.create(case=case, fluoroquinolone="no")

    screen(browser, case, **{"fluoroquinolone-now": "yes"})

    assert asked_again(browser.get(address(case))) == [
        "Fluoroquinolone: the intake says no, the screening says it is taken now. "
        "Ask to see the medicines."
    ]


def test_the_gap_between_print_and_counts_is_named(browser, case):
    page = " ".join(browser.get(address(case)).content.decode().split())

    assert "<strong>48.5 %</strong> specificity; 95 % interval 45.6–51.4" in page
    assert "<strong>48.7 %</strong> the same from the printed counts" in page


def test_the_chair_sign_is_kept_apart_from_lifting_a_chair(browser, case):
    page = " ".join(browser.get(address(case)).content.decode().split())

    assert "It is not the chair pick-up test of the battery" in page


def test_a_stale_sign_is_shown_beside_what_is_there(browser, case):
    screen(browser, case, **{"sign-red": "absent"})
    opened = browser.get(address(case))
    ScreeningSign.objects.update(outcome="found")

    answer = browser.post(address(case), typed(opened, {"snapping": "yes"}) | DONE)

    shown = [(str(c.label), c.theirs, c.mine) for c in answer.context["form"].conflicts]
    assert ("Red", "found", "absent") in shown
    assert signs_of(case) == [("red", "", "found")]


def test_the_audit_trail_names_the_signs(browser, case):
    page = browser.get(address(case))

    browser.post(address(case), typed(page, {"sign-red": "absent"}), **TYPING)

    event = AuditEvent.objects.get(verb="screened")
    assert event.detail == {"questions": [], "signs": ["red"]}


def test_the_history_says_what_changed_and_what_was_done(browser, case, physiotherapist):
    before = create_clear_screening(case=case, fracture="yes", snapping="unknown")
    before.answers.get(question="fracture").act(
        "X-ray clear.", by=physiotherapist, at=timezone.now()
    )
    screen(browser, case, snapping="yes")

    today, first = browser.get(address(case)).context["screening"].history
    changed = [[(c.question.code, c.before, c.now) for c in row.changes] for row in (today, first)]
    assert changed == [
        [("fracture", "yes", "no"), ("snapping", "unknown", "yes")],
        [("fracture", None, "yes"), ("snapping", None, "unknown")],
    ]
    assert [row.round.on for row in (today, first)] == [timezone.localdate(), before.on]
    assert [answer.action_taken for answer in first.done] == ["X-ray clear."]


def test_one_round_has_no_history(browser, case):
    screen(browser, case)

    page = browser.get(address(case))
    assert page.context["screening"].history == []
    assert "The rounds so far" not in page.content.decode()


def test_a_round_without_change_says_so(browser, case):
    create_clear_screening(case=case, snapping="yes")
    screen(browser, case, snapping="yes")

    page = browser.get(address(case))
    text = " ".join(page.content.decode().split())
    assert page.context["screening"].history[0].changes == ()
    assert '<td data-head="What changed"> Nothing. </td>' in text


def test_a_case_of_today_is_screened_again_tomorrow(browser, case, monkeypatch):
    screen(browser, case)
    later = timezone.now() + datetime.timedelta(days=1)
    monkeypatch.setattr(timezone, "now", lambda: later)
    browser.force_login(case.lead)

    page = browser.get(address(case))

    assert page.context["screening"].round is None
    assert page.context["form"]["snapping"].value() == ""


def test_the_signs_of_the_round_that_counts_are_read_whenever_it_was(browser, case, monkeypatch):
    screen(browser, case, **NECK)
    later = timezone.now() + datetime.timedelta(days=1)
    day = f"{timezone.localdate():%d %b %Y}".lstrip("0")
    monkeypatch.setattr(timezone, "now", lambda: later)
    browser.force_login(case.lead)

    page = browser.get(address(case))

    assert sentences(page) == ["3 of 4 found."]
    assert f"What was examined on {day}" in " ".join(page.content.decode().split())


def test_the_history_says_what_was_examined(browser, case):
    before = create_clear_screening(case=case)
    before.write_signs({("red", ""): "absent"})
    screen(browser, case, **NECK)

    history = browser.get(address(case)).context["screening"].history
    found = [[str(reading.sentence) for reading in past.readings] for past in history]
    assert found == [["3 of 4 found."], ["0 of 1 found."]]
