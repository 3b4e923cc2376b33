"""What a round notes beside the pain, what is asked before it, and how it ends early."""

import re

import pytest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.html import strip_tags

from cases.clinical.battery_before import NO_LIFT
from cases.models import Battery, Finding, PalpationPoint, Screening, ScreeningAnswer
from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_visit
from tests.factories.findings import create_battery, create_finding
from tests.pages import DONE, TYPING, typed

WRIST = "wrist-extension-right"
FINGERS = [f"finger-extension-right-{finger}" for finger in (2, 3, 4, 5)]


def address(visit):
    return reverse("cases:battery", args=[visit.pk])


@pytest.fixture
def visit(physiotherapist):
    """A draft visit for a right elbow."""
    return create_visit(case=create_case(lead=physiotherapist))


def post(browser, visit, changes=None, *, headers=None, **more):
    page = browser.get(address(visit))
    values = typed(page, {"resting_pain": "0"} | (changes or {}))
    # A box that is not ticked sends nothing.
    sent = {name: value for name, value in values.items() if value is not False}
    return browser.post(address(visit), sent | more, **(headers or {}))


def screen(visit, **answers):
    asked_by = visit.practitioner
    screening = Screening.objects.create(case=visit.case, on=visit.on, asked_by=asked_by)
    given = {code.replace("_", "-"): answer for code, answer in answers.items()}
    rows = [ScreeningAnswer(question=code, answer=answer) for code, answer in given.items()]
    screening.write(new=rows, changed=[])


def reading(browser, visit):
    return browser.get(address(visit)).context["battery"].reading


def said(sentences):
    return [str(sentence) for sentence in sentences]


def test_strength_tingling_and_the_way_it_was_done_are_kept(browser, visit):
    given = {
        WRIST: "none",
        f"{WRIST}-strength": "weak",
        f"{WRIST}-tingling": "on",
        "wrist-extension-way": "straight",
    }

    post(browser, visit, given, **DONE)

    found = Finding.objects.get()
    assert (found.strength, found.tingling, found.way.text) == (
        "weak",
        True,
        "Elbow fully straight.",
    )
    assert said(reading(browser, visit).raised) == [
        "New tingling during a test: not counted. Check the nerves of the arm and the neck.",
        "Weak without pain, wrist: not counted. Check the neck and the nerves of the arm.",
    ]


def test_a_test_not_done_has_no_strength_and_no_way(browser, visit):
    given = {
        WRIST: "not done",
        f"{WRIST}-why_not_done": "plaster",
        f"{WRIST}-strength": "weak",
        "wrist-extension-way": "straight",
    }

    post(browser, visit, given, **DONE)

    found = Finding.objects.get()
    assert (found.strength, found.variant) == ("", "")


def test_only_resisted_tests_ask_for_strength(browser, visit):
    fields = browser.get(address(visit)).context["form"].fields

    tests = {name.split("-right")[0] for name in fields if name.endswith("-strength")}
    assert {test for test in tests if "-left" not in test} == {
        "wrist-extension",
        "supination",
        "finger-extension",
    }


def test_points_are_kept_beside_the_palpation_and_keep_their_row(browser, visit):
    post(browser, visit, {"palpation-right": "none", "point-epicondyle-right": "6"}, **DONE)
    before = PalpationPoint.objects.get()
    post(browser, visit, {"point-epicondyle-right": "4", "point-below-left": "0"}, **DONE)

    assert PalpationPoint.objects.get(point="epicondyle") == before
    assert set(PalpationPoint.objects.values_list("point", "side", "pain")) == {
        ("epicondyle", "right", 4),
        ("below", "left", 0),
    }


def test_a_point_that_was_emptied_is_not_on_record(browser, visit):
    post(browser, visit, {"point-epicondyle-right": "6"}, **DONE)
    post(browser, visit, {"point-epicondyle-right": ""}, **DONE)

    assert not PalpationPoint.objects.exists()


def test_a_point_is_rated_0_to_10(browser, visit):
    answer = post(browser, visit, {"point-epicondyle-right": "11"}, **DONE)

    assert answer.context["form"].errors == {
        "point-epicondyle-right": ["Pain is a whole number from 0 to 10."]
    }


def test_points_against_the_palpation_are_asked_about(browser, visit):
    post(browser, visit, {"palpation-right": "none", "point-epicondyle-right": "6"}, **DONE)

    assert said(reading(browser, visit).questions) == [
        "Palpation and its points say different things on the affected side: which is right?"
    ]


def test_optional_tests_are_kept_and_are_no_part_of_a_full_round(browser, visit):
    post(browser, visit, {"cup-lift-right": "familiar", "cup-lift-right-pain": "3"}, all_none="1")

    assert reading(browser, visit).familiar == ("cup-lift",)
    assert not Finding.objects.filter(test__in=["grip", "chair-lift"]).exists()
    assert reading(browser, visit).missing == 0


def test_no_pain_for_the_rest_notes_normal_strength_where_something_is_resisted(browser, visit):
    post(browser, visit, all_none="1")

    assert set(Finding.objects.values_list("test", "strength")) == {
        ("passive-stretch", ""),
        ("wrist-extension", "normal"),
        ("supination", "normal"),
        ("finger-extension", "normal"),
        ("palpation", ""),
    }


@pytest.mark.parametrize("performer", ["partner", "self"])
def test_without_an_examiner_supination_is_left_open(browser, visit, performer):
    post(browser, visit, {"performed_by": performer}, all_none="1")

    assert not Finding.objects.filter(test="supination").exists()
    assert reading(browser, visit).missing == 0


@pytest.mark.parametrize(
    ("performer", "sentences"),
    [
        ("self", ["Done by the patient alone, without a clinician."]),
        ("partner", ["Done with a partner, without a clinician."]),
        ("clinician", []),
    ],
)
def test_a_round_at_home_says_that_no_clinician_did_it(browser, visit, performer, sentences):
    post(browser, visit, {"performed_by": performer, WRIST: "none"}, **DONE)

    page = browser.get(address(visit)).content.decode()
    assert re.findall(r"Done [^<]*without a clinician\.", page) == sentences


def test_a_test_that_needs_an_examiner_is_asked_about_without_one(browser, visit):
    post(browser, visit, {"performed_by": "self", "supination-right": "none"}, **DONE)

    assert said(reading(browser, visit).questions) == [
        "A test that needs an examiner was done without one: who performed the round?"
    ]


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({WRIST: "familiar", f"{WRIST}-pain": "8"}, "Pain of 8 of 10 or more in this test."),
        ({WRIST: "none", f"{WRIST}-tingling": "on"}, "New tingling in this test."),
    ],
)
def test_the_page_offers_to_stop_beside_the_test(browser, visit, given, sentence):
    state = post(browser, visit, given, headers=TYPING).content.decode()

    assert state.count(sentence) == 1
    assert state.count('name="stop_here"') == 1


def test_pain_of_7_is_no_reason_to_stop(browser, visit):
    state = post(browser, visit, {WRIST: "familiar", f"{WRIST}-pain": "7"}, headers=TYPING)

    assert "stop_here" not in state.content.decode()


def test_stopping_keeps_what_is_there_and_marks_the_rest(browser, visit):
    answer = post(browser, visit, {WRIST: "familiar", f"{WRIST}-pain": "9"}, stop_here="1")

    kept = Finding.objects.exclude(answer="not done").get()
    rest = Finding.objects.filter(answer="not done").values_list("why_not_done", flat=True)
    assert (kept.test, kept.pain, answer.url) == ("wrist-extension", 9, address(visit))
    assert list(rest) == ["round stopped"] * 15
    assert "stop_here" not in browser.get(address(visit)).content.decode()


def test_a_filling_button_pressed_with_script_answers_with_the_whole_form(browser, visit):
    answer = post(browser, visit, all_none="1", headers=TYPING)

    onward = reverse("rehab:case", args=[visit.case_id])
    assert answer["HX-Retarget"] == "#battery-form"
    assert f'name="next" value="{onward}"' in answer.content.decode()
    assert answer.content.decode().count('value="none"') == 22
    assert Finding.objects.count() == 16


def test_an_open_emergency_is_said_first_and_asks_to_confirm(browser, visit):
    screen(visit, hot_joint="yes")

    answer = post(browser, visit, {WRIST: "none"}, **DONE)

    assert answer.context["form"].errors == {
        "despite": [
            "The screening found an emergency. Tick this when it is seen to, or do not test."
        ]
    }
    assert said(answer.context["battery"].before) == [
        "Screening: hot, red, swollen joint or fever. Emergency, same day, and nothing is written "
        "down about it yet."
    ]
    assert not Finding.objects.exists()


def test_a_confirmed_emergency_is_kept_with_the_round_and_in_the_trail(browser, visit):
    screen(visit, hot_joint="yes")

    post(browser, visit, {WRIST: "none", "despite": "on"}, **DONE)

    assert Battery.objects.get().despite == "hot-joint"
    assert AuditEvent.objects.get(verb="wrote the battery").detail == {"despite": "hot-joint"}
    assert browser.get(address(visit)).context["form"]["despite"].value() is True


def test_another_emergency_is_asked_about_anew(browser, visit):
    create_finding(battery=create_battery(visit=visit, despite="hot-joint"))
    screen(visit, hot_joint="yes", septic_bursitis="yes")

    assert browser.get(address(visit)).context["form"]["despite"].value() is False


def test_an_emergency_that_was_acted_on_is_not_asked_about(browser, visit):
    screen(visit, hot_joint="yes")
    ScreeningAnswer.objects.get().act("Sent in.", by=visit.practitioner, at=timezone.now())

    assert post(browser, visit, {WRIST: "none"}, **DONE).status_code == 302


def test_fingers_that_do_not_lift_are_proposed_as_not_done(browser, visit):
    screen(visit, finger_drop="yes")

    post(browser, visit, fingers_not_done="1")

    found = Finding.objects.values_list("test", "side", "answer", "why_not_done")
    assert set(found) == {("finger-extension", "right", "not done", NO_LIFT)}
    assert Finding.objects.count() == 4


def test_no_pain_for_the_rest_does_not_answer_for_fingers_that_do_not_lift(browser, visit):
    screen(visit, finger_drop="yes")

    post(browser, visit, all_none="1")

    not_done = Finding.objects.filter(answer="not done").values_list("side", "finger")
    assert set(not_done) == {("right", finger) for finger in (2, 3, 4, 5)}


def test_fingers_that_were_tested_though_they_do_not_lift_are_asked_about(browser, visit):
    screen(visit, finger_drop="yes")

    post(browser, visit, {FINGERS[1]: "none"}, **DONE)

    assert said(reading(browser, visit).questions) == [
        "The screening says that a finger or thumb will not lift, yet the fingers were tested on "
        "that side: which is right?"
    ]


@pytest.mark.parametrize(
    ("now", "sentence"),
    [
        (
            3,
            "Battery: half as much familiar pain as last time or less, 6 points in all then, 3 now.",
        ),
        (6, "Battery: unchanged, the same pain in the same tests (6 points)."),
    ],
)
def test_a_round_twice_as_good_and_one_unchanged_are_told_apart(physiotherapist, now, sentence):
    case = create_case(lead=physiotherapist)
    earlier = create_visit(case=case)
    create_finding(battery=create_battery(visit=earlier))
    earlier.sign(by=physiotherapist, at=timezone.now())
    create_finding(battery=create_battery(visit=create_visit(case=case)), pain=now)

    latest, before = Battery.objects.last_two_of(case)

    page = {"reading": latest.read(before), "battery": latest, "previous": before}
    words = " ".join(strip_tags(render_to_string("cases/battery_course.html", page)).split())
    assert words == f"{sentence} 2 Mar 2026 to 2 Mar 2026, affected side."


def test_the_last_round_stands_beside_the_first(physiotherapist):
    case = create_case(lead=physiotherapist)
    rounds = []
    for _number in range(3):
        visit = create_visit(case=case)
        rounds.append(create_battery(visit=visit))
        create_finding(battery=rounds[-1])
        visit.sign(by=physiotherapist, at=timezone.now())

    assert Battery.objects.first_and_last_of(case) == (rounds[0], rounds[-1])


def test_one_round_is_the_last_and_none_the_first(physiotherapist):
    case = create_case(lead=physiotherapist)
    assert Battery.objects.first_and_last_of(case) == (None, None)

    battery = create_battery(visit=create_visit(case=case))
    create_finding(battery=battery)

    assert Battery.objects.first_and_last_of(case) == (None, battery)


def test_a_signed_round_shows_strength_points_and_the_way(browser, visit):
    battery = create_battery(visit=visit)
    create_finding(battery=battery, strength="weak", tingling=True, variant="straight")
    PalpationPoint.objects.create(battery=battery, point="epicondyle", side="right", pain=7)
    visit.sign(by=visit.practitioner, at=timezone.now())

    page = " ".join(browser.get(address(visit)).content.decode().split())

    assert "weak" in page
    assert "new tingling; Elbow fully straight." in page
    row = page.split('<th scope="row">Lateral epicondyle</th>')[1].split("</tr>")[0]
    assert re.findall(r"<td[^>]*>(.*?)</td>", row) == ["right", "7"]
