"""One round of provocation tests."""

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Battery, Finding
from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_signed_visit, create_visit
from tests.factories.findings import create_battery, create_finding, create_quiet_battery
from tests.pages import DONE, TYPING, typed

WRIST, OTHER_WRIST = "wrist-extension-right", "wrist-extension-left"


def address(visit):
    return reverse("cases:battery", args=[visit.pk])


@pytest.fixture
def visit(physiotherapist):
    """A draft visit for a right elbow."""
    return create_visit(case=create_case(lead=physiotherapist))


def fill(browser, visit, changes=None, **more):
    page = browser.get(address(visit))
    return browser.post(address(visit), typed(page, {"resting_pain": "0"} | (changes or {})) | more)


def findings(visit):
    rows = Finding.objects.filter(battery__visit=visit)
    return set(
        rows.values_list("test", "side", "finger", "answer", "pain", "where", "why_not_done")
    )


def test_tests_are_asked_in_order_the_unaffected_side_first(browser, visit):
    groups = browser.get(address(visit)).context["form"].groups()

    labels = {group.test.code: [row.label for row in group.rows] for group in groups}
    pair = ["Left, unaffected", "Right, affected"]
    fingers = ["index finger", "middle finger", "ring finger", "little finger"]
    assert labels == {
        "passive-stretch": pair,
        "wrist-extension": pair,
        "supination": pair,
        "finger-extension": [f"{side}, {finger}" for side in pair for finger in fingers],
        "palpation": pair,
    }


def test_each_answer_is_kept_with_what_it_needs(browser, visit):
    given = {
        OTHER_WRIST: "none",
        WRIST: "familiar",
        f"{WRIST}-pain": "6",
        "supination-right": "other",
        "supination-right-where": "below-epicondyle",
        "finger-extension-right-3": "not done",
        "finger-extension-right-3-why_not_done": "finger in plaster",
    }

    answer = fill(browser, visit, given, **DONE)

    assert findings(visit) == {
        ("wrist-extension", "left", None, "none", None, "", ""),
        ("wrist-extension", "right", None, "familiar", 6, "", ""),
        ("supination", "right", None, "other", None, "below-epicondyle", ""),
        ("finger-extension", "right", 3, "not done", None, "", "finger in plaster"),
    }
    assert answer.url == reverse("rehab:case", args=[visit.case_id])


def test_what_an_answer_does_not_need_is_left_out(browser, visit):
    left_over = {
        WRIST: "none",
        f"{WRIST}-pain": "6",
        f"{WRIST}-where": "hand",
        f"{WRIST}-why_not_done": "x",
    }

    fill(browser, visit, left_over)

    assert findings(visit) == {("wrist-extension", "right", None, "none", None, "", "")}


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({WRIST: "familiar"}, f"{WRIST}-pain", "Say how strong the familiar pain was, 0–10."),
        ({WRIST: "other"}, f"{WRIST}-where", "Say where the other pain was."),
        ({WRIST: "not done"}, f"{WRIST}-why_not_done", "Say why the test was not done."),
        (
            {WRIST: "familiar", f"{WRIST}-pain": "11"},
            f"{WRIST}-pain",
            "Pain is a whole number from 0 to 10.",
        ),
        ({"resting_pain": ""}, "resting_pain", "Ask the pain at rest first, 0–10."),
        ({"resting_pain": "11"}, "resting_pain", "Pain is a whole number from 0 to 10."),
        (
            {"resting_pain": "1", WRIST: "none"},
            "go_on",
            "The arm hurts at rest. Tick this to go on, or leave the tests for another day.",
        ),
    ],
)
def test_wrong_input_is_answered_at_its_field(browser, visit, changes, field, sentence):
    answer = fill(browser, visit, changes, **DONE)

    assert answer.status_code == 422
    assert answer.context["form"].errors == {field: [sentence]}


def test_a_row_that_lacks_something_does_not_hold_the_others_back(browser, visit):
    page = browser.get(address(visit))
    some = {"resting_pain": "0", OTHER_WRIST: "none", WRIST: "familiar"}

    browser.post(address(visit), typed(page, some), **TYPING)

    assert findings(visit) == {("wrist-extension", "left", None, "none", None, "", "")}


def test_a_finding_that_is_no_longer_whole_is_not_on_record(browser, visit):
    create_finding(battery=create_battery(visit=visit), answer="none", pain=None)

    fill(browser, visit, {WRIST: "familiar", f"{WRIST}-pain": ""})

    assert findings(visit) == set()


def test_resting_pain_alone_may_be_kept_and_the_tests_postponed(browser, visit):
    fill(browser, visit, {"resting_pain": "5"}, **DONE)

    assert Battery.objects.get().resting_pain == 5
    assert findings(visit) == set()


def test_going_on_with_resting_pain_says_what_it_does_to_the_reading(browser, visit):
    fill(browser, visit, {"resting_pain": "2", "go_on": "on", WRIST: "none"}, **DONE)

    page = browser.get(address(visit))
    assert page.context["form"]["go_on"].value() is True
    assert page.context["battery"].reading.resting.text.startswith("The arm hurt %(pain)s of 10")


def test_no_pain_for_the_rest_leaves_given_answers_as_they_are(browser, visit):
    answer = fill(browser, visit, {WRIST: "familiar", f"{WRIST}-pain": "4"}, all_none="1")

    found = list(Finding.objects.values_list("answer", flat=True))
    assert (found.count("familiar"), found.count("none"), len(found)) == (1, 15, 16)
    assert answer.url == address(visit)


def test_a_saved_finding_keeps_its_row(browser, visit):
    before = create_finding(battery=create_battery(visit=visit))

    fill(browser, visit, {f"{WRIST}-pain": "3"})

    assert Finding.objects.get() == before
    assert Finding.objects.get().pain == 3


def test_the_round_is_read_in_words_while_it_is_filled_in(browser, visit):
    page = browser.get(address(visit))
    given = {"resting_pain": "0", WRIST: "familiar", f"{WRIST}-pain": "6"}

    state = browser.post(address(visit), typed(page, given), **TYPING).content.decode()

    assert state.strip().startswith('<div id="battery-state">')
    assert "Resisted wrist extension: 6 of 10." in state


def test_the_round_is_compared_with_the_one_before(browser, physiotherapist):
    case = create_case(lead=physiotherapist)
    earlier = create_visit(case=case)
    create_finding(battery=create_battery(visit=earlier))
    earlier.sign(by=physiotherapist, at=timezone.now())
    visit = create_visit(case=case)
    create_finding(battery=create_battery(visit=visit), pain=2)

    changes = browser.get(address(visit)).context["battery"].reading.changes

    assert [(change.test, change.before, change.after) for change in changes] == [
        ("wrist-extension", 6, 2)
    ]


def test_familiar_pain_on_the_unaffected_side_only_is_asked_about(browser, visit):
    page = browser.get(address(visit))
    given = {"resting_pain": "0", OTHER_WRIST: "familiar", f"{OTHER_WRIST}-pain": "5"}

    state = browser.post(address(visit), typed(page, given), **TYPING).content.decode()

    assert "Familiar pain only on the unaffected side: were the sides mixed up?" in state


def test_the_page_never_names_a_diagnosis_as_found(browser, visit):
    create_finding(battery=create_battery(visit=visit))

    page = browser.get(address(visit)).content.decode()

    assert "can&#x27;t rule tennis elbow in or out" in page


def test_two_who_fill_in_the_same_round_see_both_versions(browser, visit):
    create_finding(battery=create_battery(visit=visit))
    opened = browser.get(address(visit))
    Finding.objects.update(pain=8)

    answer = browser.post(address(visit), typed(opened, {f"{WRIST}-pain": "3"}) | DONE)

    assert [(c.theirs, c.mine) for c in answer.context["form"].conflicts] == [(8, 3)]
    assert Finding.objects.get().pain == 8


def test_the_battery_of_a_signed_visit_is_read_and_not_written(browser, visit):
    create_finding(battery=create_battery(visit=visit))
    opened = browser.get(address(visit))
    visit.sign(by=visit.practitioner, at=timezone.now())

    answer = browser.post(address(visit), typed(opened, {f"{WRIST}-pain": "3"}) | DONE)
    page = browser.get(address(visit)).content.decode()

    assert (answer.status_code, Finding.objects.get().pain) == (422, 6)
    assert "familiar pain" in page
    assert 'type="radio"' not in page


def test_a_signed_visit_without_a_battery_says_so(browser, physiotherapist):
    signed = create_signed_visit(case=create_case(lead=physiotherapist))

    assert "No battery was done on this visit." in browser.get(address(signed)).content.decode()


def test_the_audit_trail_names_the_round(browser, visit):
    fill(browser, visit, {WRIST: "none"})

    event = AuditEvent.objects.get(verb="wrote the battery")
    assert (event.object_type, event.object_id) == ("battery", Battery.objects.get().pk)


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_who_treats_opens_the_battery(request, signed_in, visit, who, status):
    assert signed_in(request.getfixturevalue(who)).get(address(visit)).status_code == status


def test_a_battery_of_another_clinic_does_not_exist(browser):
    elsewhere = address(create_visit())

    assert (browser.get(elsewhere).status_code, browser.post(elsewhere).status_code) == (404, 404)


def test_a_battery_is_not_deleted(browser, visit):
    assert browser.delete(address(visit)).status_code == 405


@pytest.mark.parametrize("earlier", [1, 3])
def test_the_battery_costs_the_same_however_many_rounds(
    browser, physiotherapist, django_assert_num_queries, earlier
):
    case = create_case(lead=physiotherapist)
    for _round in range(earlier):
        before = create_visit(case=case)
        create_quiet_battery(visit=before)
        before.sign(by=physiotherapist, at=timezone.now())
    visit = create_visit(case=case)
    create_quiet_battery(visit=visit)

    with django_assert_num_queries(7):
        browser.get(address(visit))
