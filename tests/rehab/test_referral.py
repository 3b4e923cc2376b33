"""The page of a referral letter, and the letter that it prints."""

import datetime

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse
from django.utils import timezone

from assessments.clinical.protocol import MAXIMAL_BENT
from cases.clinical.sides import Side
from cases.models import Injection, ScreeningAnswer
from clinic.models import AuditEvent
from rehab.models import Handout
from rehab.printing import gather_referral
from tests.factories.assessments import create_grip, create_pain
from tests.factories.cases import create_case, create_clear_screening, create_visit
from tests.factories.clinic import PASSWORD, create_physiotherapist
from tests.factories.findings import create_battery, create_finding
from tests.factories.rehab import create_issued
from tests.pages import typed
from tests.rehab.printing.sheets import sizes_of, text_of

each_request = pytest.mark.parametrize(
    ("method", "name"),
    [
        ("get", "rehab:referral"),
        ("get", "rehab:referral_letter"),
        ("post", "rehab:referral_letter"),
        ("post", "rehab:referral_given"),
    ],
)


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist)


def answered(case, **answers) -> ScreeningAnswer:
    """The answer that leads to a letter: the first of `answers`, in the case's last round."""
    question = next(iter(answers)).replace("_", "-")
    return create_clear_screening(case=case, **answers).answers.get(question=question)


@pytest.fixture
def fracture(case):
    return answered(case, fracture="yes", snapping="yes")


def page_of(answer, name="rehab:referral") -> str:
    return reverse(name, args=[answer.pk])


def send(browser, answer, **changes):
    """Fill in the page's form, and press its button."""
    page = browser.get(page_of(answer))
    return browser.post(page_of(answer, "rehab:referral_letter"), typed(page, **changes))


def facts_of(answer) -> dict[str, str]:
    return {str(fact.what): str(fact.words) for fact in gather_referral.facts(answer)}


@pytest.mark.parametrize(
    ("question", "to", "urgency", "ask"),
    [
        ("hot_joint", "emergency", "same-day", "Please examine the elbow today"),
        ("cancer", "family-doctor", "urgent", "Please examine the arm and the patient as a whole."),
        ("finger_drop", "family-doctor", "soon", "Please examine why a finger"),
        ("inflammatory", "rheumatology", "not-urgent", "Please examine the joints"),
    ],
)
def test_the_form_is_filled_in_with_what_the_question_proposes(
    browser, case, question, to, urgency, ask
):
    form = browser.get(page_of(answered(case, **{question: "yes"}))).context["form"]

    assert (form["to"].value(), form["urgency"].value()) == (to, urgency)
    assert form["ask"].value().startswith(ask)
    assert form["ask"].value().endswith("whether and from when the arm may be loaded.")


def test_the_letter_is_printed_kept_and_written_into_the_trail(
    browser, case, physiotherapist, fracture
):
    answer = send(browser, fracture, remark="Lives alone.", address="Harbor General Hospital")

    kept = Handout.objects.get()
    name = f"referral-{case.patient.record}-{timezone.localdate():%Y-%m-%d}.pdf"
    assert answer["Content-Disposition"] == f'inline; filename="{name}"'
    assert (kept.kind, kept.case, kept.as_it_was()) == ("referral letter", case, answer.content)
    event = AuditEvent.objects.get(verb="printed")
    assert (event.actor, event.object_id) == (physiotherapist, case.pk)
    assert event.detail == {"what": "referral letter", "sha": kept.mark}
    text = text_of(answer.content)
    assert text.startswith("To the emergency department Harbor General Hospital")
    assert "Remark Lives alone." in text


def test_printing_does_not_close_the_answer(browser, fracture):
    send(browser, fracture)

    fracture.refresh_from_db()
    assert (fracture.action_taken, fracture.action_by) == ("", None)
    assert not fracture.screening.may_issue()[0]


def test_that_it_was_given_is_proposed_and_written_only_by_another_click(browser, fracture):
    there = browser.post(page_of(fracture, "rehab:referral_given"), {"to": "emergency"}).url
    page = browser.get(there)
    still_open = ScreeningAnswer.objects.get(pk=fracture.pk).action_taken
    browser.post(there, typed(page))

    written = ScreeningAnswer.objects.get(pk=fracture.pk).action_taken
    assert still_open == ""
    assert written.startswith("Letter to the emergency department given to the patient on ")


def test_what_was_done_already_is_shown_and_the_letter_still_printed(
    browser, physiotherapist, fracture
):
    fracture.act("X-ray ordered.", by=physiotherapist, at=timezone.now())
    page = browser.get(page_of(fracture)).content.decode()

    assert "X-ray ordered." in page
    assert page_of(fracture, "rehab:referral_given") not in page
    assert send(browser, fracture).status_code == 200


@pytest.mark.parametrize(
    "answers", [{"fracture": "no"}, {"snapping": "yes"}, {"long_holds": "yes"}]
)
def test_an_answer_that_calls_for_no_help_elsewhere_has_no_letter(browser, case, answers):
    answer = answered(case, **answers)
    told = browser.get(page_of(answer))
    sent = browser.post(page_of(answer, "rehab:referral_letter"), {})

    assert told.url == reverse("cases:screening", args=[case.pk])
    assert [str(message) for message in get_messages(told.wsgi_request)] == [
        "A letter needs an answer of the last screening that calls for help elsewhere."
    ]
    assert (sent.url, Handout.objects.count()) == (page_of(answer), 0)


def test_an_answer_of_an_earlier_round_has_no_letter(browser, case):
    earlier = answered(case, fracture="yes")
    answered(case, fracture="no")

    assert browser.get(page_of(earlier)).url == reverse("cases:screening", args=[case.pk])


@each_request
@pytest.mark.parametrize("who", ["front_desk", "manager"])
def test_only_who_treats_writes_a_letter(request, signed_in, fracture, method, name, who):
    client = signed_in(request.getfixturevalue(who))

    assert getattr(client, method)(page_of(fracture, name)).status_code == 403


@each_request
def test_an_answer_of_another_clinic_does_not_exist(signed_in, fracture, method, name):
    stranger = signed_in(create_physiotherapist())

    assert getattr(stranger, method)(page_of(fracture, name)).status_code == 404


def test_the_sheet_without_its_form_leads_to_the_form(browser, fracture):
    assert browser.get(page_of(fracture, "rehab:referral_letter")).url == page_of(fracture)


def test_a_letter_that_was_sent_too_late_is_given_back(client, physiotherapist, fracture):
    who = {"username": physiotherapist.username, "password": PASSWORD}
    client.post("/sign-in/", who)
    page = client.get(page_of(fracture))
    del client.cookies["sessionid"]
    late = client.post(
        page_of(fracture, "rehab:referral_letter"), typed(page, remark="Fell on Sunday.")
    )
    onward = client.post(late.url, who | {"next": page_of(fracture, "rehab:referral_letter")}).url

    given_back = client.get(onward, follow=True)
    assert given_back.context["form"]["remark"].value() == "Fell on Sunday."


def test_slower_than_the_screening_proposes_needs_a_reason_in_the_letter(browser, fracture):
    refused = send(browser, fracture, urgency="soon")
    printed = send(browser, fracture, urgency="soon", remark="The fall was in May.")

    assert refused.context["form"].errors == {
        "remark": ["The screening proposes “the same day”. Say here why it can wait."]
    }
    assert (refused.status_code, printed.status_code) == (422, 200)
    assert "Please see this patient soon." in text_of(printed.content)


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("remark", "a" * 4001, "Ensure this value has at most 4000 characters (it has 4001)."),
        ("address", "\n".join("abcdefg"), "Keep it to 6 lines."),
        ("ask", " ", "Write what is asked."),
        ("to", "harbor", "Select a valid choice. harbor is not one of the available choices."),
    ],
)
def test_what_can_not_be_set_is_said_at_its_field_and_nothing_is_kept(
    browser, fracture, field, text, sentence
):
    refused = send(browser, fracture, **{field: text})

    assert refused.context["form"].errors == {field: [sentence]}
    assert (refused.status_code, Handout.objects.count()) == (422, 0)


def test_a_sign_that_the_type_lacks_is_said_and_nothing_typed_is_lost(browser, fracture):
    refused = send(browser, fracture, remark="Asks for Dr. 王.")

    assert "can't be printed" in refused.context["form"].non_field_errors()[0]
    assert refused.context["form"]["remark"].value() == "Asks for Dr. 王."
    assert (refused.status_code, Handout.objects.count()) == (422, 0)


def test_a_patient_of_large_print_gets_a_letter_that_they_can_read(browser, fracture):
    patient = fracture.screening.case.patient
    patient.print_size = "large"
    patient.save()

    assert sorted(sizes_of(send(browser, fracture).content))[1] == 18


def test_nothing_on_record_is_said_in_one_line(case):
    assert facts_of(answered(case, fracture="yes")) == {"Tests and measures": "none on record yet"}


def test_the_last_of_each_measure_is_in_the_letter_and_no_older_one(case, fracture):
    first = create_visit(case=case, on=case.opened)
    create_pain(visit=first, at_rest=9, on_gripping=9)
    create_grip(visit=first, trials_n=(99, 99, 99))
    create_grip(visit=first, side=Side.LEFT, trials_n=(300, 310, 305))
    first.sign(by=case.lead, at=timezone.now())
    last = create_visit(case=case, on=case.opened + datetime.timedelta(days=7))
    create_pain(visit=last, worst_24h=5)
    create_grip(visit=last, way=MAXIMAL_BENT, trials_n=(200,))

    facts = facts_of(fracture)
    assert facts["Pain, 9 Mar 2026"] == "worst in 24 h 5 of 10"
    assert facts["Grip, 9 Mar 2026, maximal, elbow at 90 degrees"] == (
        "right (affected) 200 N, mean of 1; left not measured"
    )
    assert not [words for words in facts.values() if "99" in words or "9 of 10" in words]


def test_the_last_round_is_in_the_letter_with_who_did_it_and_from_which_pain(case, fracture):
    battery = create_battery(visit=create_visit(case=case), resting_pain=2, performed_by="partner")
    create_finding(battery=battery, strength="weak")
    create_finding(battery=battery, side="left", answer="familiar", pain=9)
    create_finding(
        battery=battery, test="finger-extension", finger=3, answer="none", pain=None, tingling=True
    )

    assert facts_of(fracture)["Provocation tests, 2 Mar 2026"] == (
        "Familiar pain in 1 of 2 tests on the affected side: Resisted wrist extension, 6 of 10. "
        "Strength: Resisted wrist extension, weak. "
        "New tingling: Resisted extension of one finger (middle finger). "
        "Pain at rest before the first test: 2 of 10. "
        "Done with a partner, without a clinician."
    )


def test_signs_injections_and_other_answers_of_yes_are_in_the_letter(case, fracture):
    signs = {("not-straight", "right"): "found", ("not-straight", "left"): "absent"}
    fracture.screening.write_signs(signs | {("spurling", ""): "found"})
    Injection.objects.create(
        case=case, given_on=datetime.date(2026, 2, 3), substance="corticosteroid"
    )

    facts = facts_of(fracture)
    assert facts["Examined, 2 Mar 2026"] == (
        "Found: Can't straighten fully (right). Not found: Can't straighten fully (left)."
    )
    assert facts["Injected at this elbow"] == "corticosteroid, 3 Feb 2026"
    assert facts["Also answered yes"] == "“Does something snap on the outside of the elbow?”"


def test_without_a_program_the_letter_says_that_none_is_given(browser, fracture):
    text = text_of(send(browser, fracture).content)

    assert (
        "Exercises No exercise program is given until this is settled. "
        "Put off until this is settled: all resisted tests and grip tests."
    ) in text


def test_a_program_in_force_is_named_and_can_be_withdrawn_from_the_page(browser, case, fracture):
    program = create_issued(case=case)
    page = browser.get(page_of(fracture)).content.decode()
    text = text_of(send(browser, fracture).content)

    assert reverse("rehab:program_withdraw", args=[program.pk]) in page
    assert f"Exercise program {program.version}, stage 2 (light isotonic), in force since" in text
    assert "No exercise program" not in text


def test_an_emergency_says_that_help_comes_before_the_letter(browser, case, fracture):
    emergency = answered(case, hot_joint="yes", fracture="yes")
    pages = [
        browser.get(page_of(answer)).content.decode()
        for answer in (emergency, emergency.screening.answers.get(question="fracture"))
    ]

    assert ["Help comes first" in page for page in pages] == [True, False]


def test_the_screening_and_the_action_lead_to_the_letter(browser, case, fracture):
    pages = [
        reverse("cases:screening", args=[case.pk]),
        reverse("cases:screening_action", args=[fracture.pk]),
    ]

    assert [page_of(fracture) in browser.get(page).content.decode() for page in pages] == [
        True,
        True,
    ]


@pytest.mark.parametrize("visits", [1, 3])
def test_the_page_costs_the_same_however_many_visits_and_rounds(
    browser, case, django_assert_num_queries, visits
):
    for number in range(visits):
        visit = create_visit(case=case, on=case.opened + datetime.timedelta(days=number))
        create_grip(visit=visit)
        create_pain(visit=visit, at_rest=1)
        create_finding(battery=create_battery(visit=visit))
        visit.sign(by=case.lead, at=timezone.now())
        answer = answered(case, fracture="yes")

    with django_assert_num_queries(17):
        browser.get(page_of(answer))
