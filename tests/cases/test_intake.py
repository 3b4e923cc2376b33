"""The first history of a case."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Activity, Injection, Intake
from clinic.models import AuditEvent
from tests.factories.cases import create_case
from tests.pages import DONE, TYPING, typed


def address(case):
    return reverse("cases:intake", args=[case.pk])


def days_ago(days):
    return timezone.localdate() - datetime.timedelta(days=days)


def write(browser, case, **changes):
    page = browser.get(address(case))
    return browser.post(address(case), typed(page, **changes) | DONE)


def test_a_history_is_kept(browser, case):
    answer = write(
        browser,
        case,
        manner="load",
        story="Two weeks of planking.",
        provoked_by=["gripping", "tools"],
        rest_pain="0",
        worst_pain="6",
        nights_woken="2",
        lasts_over_24_h="true",
        fluoroquinolone="no",
    )

    intake = case.intake
    assert (intake.manner, intake.story) == ("load", "Two weeks of planking.")
    assert intake.provoked_by == ["gripping", "tools"]
    assert (intake.rest_pain, intake.worst_pain, intake.nights_woken) == (0, 6, 2)
    assert (intake.lasts_over_24_h, intake.fluoroquinolone) == (True, "no")
    assert answer.url == reverse("cases:screening", args=[case.pk])


@pytest.mark.parametrize(("chosen", "kept"), [("true", True), ("false", False), ("", None)])
def test_not_known_is_neither_yes_nor_no(browser, case, chosen, kept):
    write(browser, case, lasts_over_24_h=chosen)

    assert case.intake.lasts_over_24_h is kept
    assert browser.get(address(case)).context["form"]["lasts_over_24_h"].value() == (chosen or None)


def test_the_history_saves_itself_while_it_is_typed(browser, case):
    page = browser.get(address(case))

    first = browser.post(address(case), typed(page, story="Two"), **TYPING)
    browser.post(address(case), typed(first, story="Two weeks"), **TYPING)

    assert first.content.decode().strip().startswith('<div id="intake-state">')
    assert Intake.objects.get().story == "Two weeks"


def test_injections_are_kept_changed_and_taken_out(browser, case):
    write(browser, case, injection_1_on="2026-01-20", injection_1_what="corticosteroid")
    write(
        browser,
        case,
        injection_1_what="other",
        injection_2_on="2026-02-01",
        injection_2_what="other",
    )
    kept = list(case.injections.values_list("given_on", "substance"))
    write(browser, case, injection_1_on="", injection_1_what="")

    assert kept == [(datetime.date(2026, 1, 20), "other"), (datetime.date(2026, 2, 1), "other")]
    assert [row.given_on for row in case.injections.all()] == [datetime.date(2026, 2, 1)]


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"rest_pain": "11"}, "rest_pain", "Pain is a whole number from 0 to 10."),
        ({"worst_pain": "-1"}, "worst_pain", "Pain is a whole number from 0 to 10."),
        ({"rest_pain": "2.5"}, "rest_pain", "Pain is a whole number from 0 to 10."),
        (
            {"injection_1_on": "1981-05-03", "injection_1_what": "other"},
            "injection_1_on",
            "That is before the patient was born. Check the year.",
        ),
        ({"injection_2_on": "2026-01-20"}, "injection_2_what", "Choose what was injected."),
        ({"injection_2_what": "other"}, "injection_2_on", "Enter the date, or the best guess."),
        (
            {
                "injection_1_on": "2026-01-20",
                "injection_1_what": "other",
                "injection_3_on": "2026-01-20",
                "injection_3_what": "other",
            },
            "injection_3_on",
            "This injection is in the list already.",
        ),
        (
            {"activities": "a\nb\nc\nd\ne\nf"},
            "activities",
            "Five at most: leave out the ones that matter least.",
        ),
        (
            {"activities": "Rowing\nrowing"},
            "activities",
            "One activity stands there twice. Write it once.",
        ),
        ({"activities": "x" * 121}, "activities", "Shorten it to 120 characters a line."),
    ],
)
def test_wrong_input_is_answered_at_its_field(browser, case, changes, field, sentence):
    answer = write(browser, case, **changes)

    assert answer.status_code == 422
    assert answer.context["form"].errors == {field: [sentence]}


def test_an_injection_is_not_in_the_future(browser, case):
    tomorrow = days_ago(-1).isoformat()
    answer = write(browser, case, injection_1_on=tomorrow, injection_1_what="other")

    sentence = "An injection that was given can't be in the future."
    assert answer.status_code == 422
    assert answer.context["form"].errors == {"injection_1_on": [sentence]}


@pytest.mark.parametrize("nights", ["8", "-1", "two"])
def test_a_week_has_seven_nights(browser, case, nights):
    answer = write(browser, case, nights_woken=nights)

    assert list(answer.context["form"].errors) == ["nights_woken"]


def test_an_injection_today_and_one_on_the_birthday_are_possible(browser, case):
    write(
        browser,
        case,
        injection_1_on="1981-05-04",
        injection_1_what="other",
        injection_2_on=days_ago(0).isoformat(),
        injection_2_what="corticosteroid",
    )

    assert case.injections.count() == 2


def test_activities_keep_their_row_when_another_is_added(browser, case):
    write(browser, case, activities="Rowing\n\n  Lifting  the kettle ")
    rowing = Activity.objects.get(name="Rowing")
    write(browser, case, activities="Playing the fiddle\nRowing")

    kept = list(case.activities.values_list("position", "name"))
    assert kept == [(1, "Rowing"), (2, "Playing the fiddle")]
    assert Activity.objects.get(name="Rowing") == rowing


def test_fewer_than_three_activities_are_kept_and_more_are_wanted(browser, case):
    page = browser.get(address(case))

    state = browser.post(address(case), typed(page, activities="Rowing"), **TYPING)

    assert state.context["intake"].activities_missing == 2
    assert "2 more activities are wanted" in state.content.decode()


@pytest.mark.parametrize(
    ("days", "sentences"), [(13, 3), (14, 2), (41, 2), (42, 1), (365, 1), (367, 0)]
)
def test_a_steroid_injection_calls_for_caution(browser, case, days, sentences):
    write(
        browser,
        case,
        injection_1_on=days_ago(days).isoformat(),
        injection_1_what="corticosteroid",
    )

    caution = browser.get(address(case)).context["intake"].caution
    assert len(caution.sentences) == sentences


def test_another_injection_calls_for_no_caution(browser, case):
    write(browser, case, injection_1_on=days_ago(3).isoformat(), injection_1_what="other")

    assert browser.get(address(case)).context["intake"].caution is None


@pytest.mark.parametrize(
    ("taken", "code"),
    [("now", "fluoroquinolone-now"), ("past", "fluoroquinolone-recent")],
)
def test_these_antibiotics_lead_to_their_screening_question(browser, case, taken, code):
    write(browser, case, fluoroquinolone=taken)

    page = browser.get(address(case))
    assert page.context["intake"].fluoroquinolone.code == code
    assert page.context["intake"].fluoroquinolone.advice in page.content.decode()


def test_figures_stand_in_the_margin_with_their_status(browser, case):
    page = " ".join(browser.get(address(case)).content.decode().split())

    assert "Recovered or much improved: 83 % against 96 %." in page
    assert "Coombes et al. 2013 JAMA 309:461–9, n = 165 · published" in page
    assert "from memory, not checked" in page


def test_a_stale_history_is_shown_beside_what_is_there(browser, case):
    write(browser, case, story="First.")
    opened = browser.get(address(case))
    Intake.objects.update(story="Theirs.")

    answer = browser.post(address(case), typed(opened, story="Mine.") | DONE)

    shown = [(c.theirs, c.mine) for c in answer.context["form"].conflicts]
    assert (shown, Intake.objects.get().story) == ([("Theirs.", "Mine.")], "Theirs.")


def test_the_audit_trail_names_fields_and_no_text(browser, case):
    write(browser, case, story="Two weeks of planking.", rest_pain="2")

    event = AuditEvent.objects.get(verb="wrote the intake")
    assert (event.object_id, event.detail) == (case.pk, {"fields": ["rest_pain", "story"]})


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_who_treats_opens_the_intake(request, signed_in, case, who, status):
    assert signed_in(request.getfixturevalue(who)).get(address(case)).status_code == status


def test_an_intake_of_another_clinic_does_not_exist(browser):
    elsewhere = address(create_case())

    assert (browser.get(elsewhere).status_code, browser.post(elsewhere).status_code) == (404, 404)


def test_an_intake_is_not_deleted(browser, case):
    assert browser.delete(address(case)).status_code == 405


@pytest.mark.parametrize("rows", [1, 3])
def test_the_intake_costs_the_same_however_much_there_is(
    browser, case, django_assert_num_queries, rows
):
    for place in range(1, rows + 1):
        Injection.objects.create(case=case, given_on=days_ago(place), substance="other")
        Activity.objects.create(case=case, position=place, name=f"Activity {place}")

    with django_assert_num_queries(6):
        browser.get(address(case))
