"""The diary typed in from paper."""

import datetime

import pytest
from django.urls import reverse

from clinic.models import AuditEvent
from rehab.models import DiaryDay
from tests.factories.cases import create_case
from tests.factories.rehab import create_diary, create_issued
from tests.pages import DONE, TYPING, typed

SESSION = {
    "sets_done": 3,
    "last_set_repetitions": 15,
    "worst_pain": 2,
    "next_morning_pain": 1,
    "night_wakings": 0,
}


@pytest.fixture
def url(case, program):
    return reverse("rehab:diary", args=[case.pk])


def on(program, day=0):
    return program.issued_at.date() + datetime.timedelta(days=day)


def row(day, **cells):
    return {f"{day}_{name}": value for name, value in (SESSION | cells).items()}


def test_a_row_is_a_day_from_the_issue_until_today(browser, url, program, today):
    form = browser.get(url).context["form"]

    days = [row.on for row in form.rows]
    assert days == [on(program, n) for n in range(15)]
    assert days[-1] == today


def test_a_long_diary_begins_six_weeks_ago(browser, case, today):
    create_issued(case=case, at=datetime.datetime(2026, 1, 5, 9, tzinfo=datetime.UTC), version=1)

    form = browser.get(reverse("rehab:diary", args=[case.pk])).context["form"]

    days = [row.on for row in form.rows]
    assert (len(days), days[-1]) == (42, today)


def test_what_was_typed_is_kept_with_the_program(browser, url, program):
    page = browser.get(url)

    answer = browser.post(url, typed(page, row(on(program))) | DONE)

    day = DiaryDay.objects.get()
    assert answer.url == reverse("rehab:case", args=[program.case_id])
    assert (day.on, day.program, day.load_kg) == (on(program), program, 1.2)
    assert {name: getattr(day, name) for name in SESSION} == SESSION


def test_saving_while_typing_answers_with_the_sessions_alone(browser, url, program):
    page = browser.get(url)

    answer = browser.post(url, typed(page, row(on(program), worst_pain=7)), **TYPING)

    said = answer.content.decode().strip()
    assert said.startswith('<div id="diary-state">')
    assert "Worst pain 7 during exercise (too much from 6)." in said
    assert answer["HX-Trigger"] == '{"saved": {}}'


def test_a_second_save_of_the_same_page_is_not_stale(browser, url, program):
    page = browser.get(url)
    state = browser.post(url, typed(page, row(on(program))), **TYPING)

    browser.post(url, typed(state, row(on(program), worst_pain=4)) | DONE)

    assert DiaryDay.objects.get().worst_pain == 4


def test_a_row_that_was_emptied_is_taken_away(browser, url, program):
    first, second = create_diary(program=program, days=2)
    page = browser.get(url)
    empty = row(first.on, **dict.fromkeys(SESSION))

    browser.post(url, typed(page, empty) | DONE)

    assert list(DiaryDay.objects.all()) == [second]
    event = AuditEvent.objects.get(verb="typed diary")
    assert event.detail == {"days": 1, "removed": 1}


@pytest.mark.parametrize(
    ("cells", "field", "sentence"),
    [
        ({"worst_pain": 11}, "worst_pain", "Pain is a whole number from 0 to 10."),
        ({"worst_pain": "3.5"}, "worst_pain", "Pain is a whole number from 0 to 10."),
        ({"next_morning_pain": -1}, "next_morning_pain", "Pain is a whole number from 0 to 10."),
        ({"sets_done": 21}, "sets_done", "Enter 0 to 20 sets."),
        ({"sets_done": None}, "sets_done", "Enter the sets done; 0 for a day of rest."),
        ({"last_set_repetitions": "many"}, "last_set_repetitions", "Enter 0 to 100."),
        ({"night_wakings": 21}, "night_wakings", "Enter how often, 0 to 20."),
        ({"load_kg": 0}, "load_kg", "Enter a load from 0.1 to 50 kg."),
        ({"load_kg": "heavy"}, "load_kg", "Enter a load from 0.1 to 50 kg."),
        ({"load_kg": 51}, "load_kg", "Enter a load from 0.1 to 50 kg."),
    ],
)
def test_a_wrong_cell_is_answered_at_its_field(browser, url, program, cells, field, sentence):
    page, day = browser.get(url), on(program)

    answer = browser.post(url, typed(page, row(day, **cells)) | DONE)

    assert (answer.status_code, DiaryDay.objects.count()) == (422, 0)
    assert answer.context["form"].errors == {f"{day}_{field}": [sentence]}
    assert answer.content.decode().count(f"</span> {sentence}</span>") == 1


def test_what_was_typed_beside_a_wrong_cell_is_still_there(browser, url, program):
    page, day = browser.get(url), on(program)

    answer = browser.post(url, typed(page, row(day, worst_pain=11)) | DONE)

    form = answer.context["form"]
    assert [form[f"{day}_{n}"].value() for n in ("sets_done", "worst_pain")] == ["3", "11"]


@pytest.mark.parametrize("days", [-1, 15, 400])
def test_a_day_that_is_not_on_the_page_is_not_written(browser, url, program, days):
    page, day = browser.get(url), on(program, days)
    extra = {f"diary-{name}": value for name, value in row(day).items()}

    browser.post(url, typed(page) | extra | DONE)

    assert DiaryDay.objects.count() == 0


def test_two_who_type_the_same_diary_see_both_versions(browser, url, program):
    page, day = browser.get(url), on(program)
    create_diary(program=program, days=1, worst_pain=5)

    answer = browser.post(url, typed(page, row(day, last_set_repetitions=17)) | DONE)

    shown = [(c.theirs, c.mine) for c in answer.context["form"].conflicts]
    assert (shown, DiaryDay.objects.get().worst_pain) == ([(5, 2)], 5)


def test_a_diary_typed_after_the_session_ended_is_there_after_signing_in(
    browser, url, program, physiotherapist
):
    sign_in, day = reverse("clinic:sign_in"), on(program)
    who = {"username": physiotherapist.username, "password": "a quiet harbor morning"}
    browser.logout()
    browser.post(sign_in, who)
    page = browser.get(url)
    browser.cookies.pop("sessionid")

    browser.post(url, typed(page, row(day)))
    browser.post(f"{sign_in}?next={url}", who)

    assert browser.get(url).context["form"][f"{day}_worst_pain"].value() == "2"


def test_without_a_program_there_is_no_diary(browser, case):
    answer = browser.get(reverse("rehab:diary", args=[case.pk]), follow=True)

    assert answer.redirect_chain == [(reverse("rehab:case", args=[case.pk]), 302)]
    assert "No program is running, so there is no diary to type." in answer.content.decode()


def test_the_diary_of_a_closed_case_is_closed(browser, url, case, today):
    case.discharge(on=today, reason="settled")

    assert browser.post(url).url == reverse("rehab:case", args=[case.pk])


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_who_treats_types_a_diary(request, signed_in, url, who, status):
    assert signed_in(request.getfixturevalue(who)).get(url).status_code == status


def test_a_diary_of_another_clinic_does_not_exist(browser):
    elsewhere = reverse("rehab:diary", args=[create_issued(case=create_case()).case_id])

    assert (browser.get(elsewhere).status_code, browser.post(elsewhere).status_code) == (404, 404)


def test_a_diary_is_not_deleted(browser, url):
    assert browser.delete(url).status_code == 405


@pytest.mark.parametrize("days", [1, 10])
def test_the_diary_costs_the_same_however_many_days(
    browser, url, program, days, django_assert_num_queries
):
    create_diary(program=program, days=days)

    with django_assert_num_queries(10):
        browser.get(url)
