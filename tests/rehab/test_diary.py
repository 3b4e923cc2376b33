"""The diary typed in from paper."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from clinic.models import AuditEvent
from clinic.templatetags.clinic_tags import written
from rehab.models import DiaryDay, Equipment
from tests.factories.cases import create_case
from tests.factories.clinic import PASSWORD
from tests.factories.rehab import create_diary, create_issued
from tests.pages import DONE, TYPING, typed
from tests.rehab.sessions import SESSION, on, row


@pytest.fixture
def url(case, program):
    return reverse("rehab:diary", args=[case.pk])


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


def test_what_the_patient_wrote_beside_the_figures_is_kept_and_shown(browser, url, program):
    page, day = browser.get(url), on(program)

    browser.post(url, typed(page, row(day, remark="Carried the <sails> in.")) | DONE)

    diary = browser.get(url)
    assert diary.context["diary"].remarks == [(day, "Carried the <sails> in.")]
    assert "<dd>Carried the &lt;sails&gt; in.</dd>" in diary.content.decode()


@pytest.mark.parametrize("rest", [{"next_morning_pain": 0, "night_wakings": 0}, {}])
def test_a_day_of_rest_without_pain_is_kept(browser, url, program, rest):
    page, day = browser.get(url), on(program)

    browser.post(url, typed(page, {f"{day}_sets_done": "0"} | row_of(day, rest)) | DONE)

    kept = DiaryDay.objects.get()
    assert (kept.on, kept.sets_done, kept.next_morning_pain) == (
        day,
        0,
        rest.get("next_morning_pain"),
    )


def row_of(day, cells):
    return {f"{day}_{name}": value for name, value in cells.items()}


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
        ({"last_set_repetitions": "many"}, "last_set_repetitions", "Enter 0 to 100 repetitions."),
        ({"night_wakings": 21}, "night_wakings", "Enter how often, 0 to 20."),
        ({"last_set_repetitions": 400}, "last_set_repetitions", "Enter 0 to 100 repetitions."),
        ({"load_kg": -1}, "load_kg", "Enter a load from 0 (without a weight) to 50 kg."),
        ({"load_kg": "heavy"}, "load_kg", "Enter a load from 0 (without a weight) to 50 kg."),
        ({"load_kg": 51}, "load_kg", "Enter a load from 0 (without a weight) to 50 kg."),
        ({"remark": "x" * 501}, "remark", "Write at most 500 letters."),
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
def test_a_day_that_is_not_of_the_program_is_refused_with_what_was_typed(
    browser, url, program, days
):
    page, day = browser.get(url), on(program, days)
    extra = {f"diary-{name}": value for name, value in row(day).items()}

    answer = browser.post(url, typed(page) | extra | DONE)

    sentence = (
        f"{written(day)} is not a day of program 1, which was issued on {written(on(program))}. "
        "It was not saved: Sets 3, Last set 15, Pain during 2, Next morning 1, Woken 0."
    )
    assert answer.context["form"].non_field_errors() == [sentence]
    assert (answer.status_code, DiaryDay.objects.count()) == (422, 0)


def test_the_day_of_an_earlier_program_that_is_on_record_is_no_reason_to_refuse(
    browser, url, case, program
):
    before = on(program, -1)
    create_diary(program=program, days=1, first=before)
    page = browser.get(url)
    extra = {f"diary-{name}": value for name, value in row(before, worst_pain=4).items()}

    browser.post(url, typed(page, row(on(program))) | extra | DONE)

    assert [(day.on, day.worst_pain) for day in DiaryDay.objects.of_case(case)] == [
        (before, 2),
        (on(program), 2),
    ]


@pytest.mark.parametrize(
    ("load_kg", "refused"),
    [(1.2, False), (2, False), ("", False), (1.3, True), (0, False)],
)
def test_a_load_that_the_patient_does_not_own_is_refused_at_its_field(
    browser, url, case, program, load_kg, refused
):
    Equipment.objects.create(case=case, weights_kg=[0.5, 2], has_bottle=False)
    page, day = browser.get(url), on(program)

    answer = browser.post(url, typed(page, row(day, load_kg=load_kg)) | DONE)

    sentences = {f"{day}_load_kg": ["The patient owns 0.5 and 2 kg."]}
    assert (answer.status_code == 422, DiaryDay.objects.count()) == (refused, int(not refused))
    assert not refused or answer.context["form"].errors == sentences


def test_a_load_on_record_may_stay_when_its_weight_is_gone(browser, url, case, program):
    create_diary(program=program, days=1, load_kg=1.7)
    Equipment.objects.create(case=case, weights_kg=[2], has_bottle=False)
    page = browser.get(url)

    browser.post(url, typed(page, row(on(program), load_kg=1.7, worst_pain=3)) | DONE)

    assert [(day.load_kg, day.worst_pain) for day in DiaryDay.objects.all()] == [(1.7, 3)]


def test_work_without_a_weight_is_typed_as_nought(browser, url, program):
    page = browser.get(url)

    browser.post(url, typed(page, row(on(program), load_kg=0)) | DONE)

    assert DiaryDay.objects.get().load_kg == 0


def test_of_a_hold_the_seconds_are_typed(browser, case, today):
    held = {"card": "fist-hold", "sets": 5, "hold_s": 30, "days_per_week": 7}
    issued = timezone.now() - datetime.timedelta(days=3)
    program = create_issued(case=case, at=issued, rows=[held], version=1, stage=1)
    url, day = reverse("rehab:diary", args=[case.pk]), on(program)
    page = browser.get(url)

    cells = {name: value for name, value in row(day).items() if "repetitions" not in name}
    browser.post(url, typed(page, cells | {f"{day}_hold_s": 30, f"{day}_sets_done": 5}) | DONE)

    form = page.context["form"]
    assert (form.asked, form.heads[1]) == ({"sets": 5, "last": 30, "load": ""}, "Held, s")
    kept = DiaryDay.objects.get()
    assert (kept.sets_done, kept.hold_s, kept.last_set_repetitions) == (5, 30, None)


def test_the_rows_are_shown_a_week_at_a_time(browser, url, program):
    create_diary(program=program, days=8)

    weeks = browser.get(url).context["form"].weeks

    assert [(week.number, len(week.rows), week.written, week.is_open) for week in weeks] == [
        (1, 7, 7, False),
        (2, 7, 1, True),
        (3, 1, 0, False),
    ]


def test_the_week_with_a_wrong_cell_is_the_open_one(browser, url, program):
    create_diary(program=program, days=8)
    page = browser.get(url)

    answer = browser.post(url, typed(page, row(on(program, 2), worst_pain=12)) | DONE)

    assert [week.number for week in answer.context["form"].weeks if week.is_open] == [1]


def test_a_day_as_prescribed_is_what_the_program_asks_in_a_day(browser, case, today):
    twice = {
        "card": "lift-and-lower", "sets": 3, "repetitions": 15, "load_kg": 1.2,
        "days_per_week": 7, "sessions_per_day": 2,
    }  # fmt: skip
    issued = timezone.now() - datetime.timedelta(days=3)
    create_issued(case=case, at=issued, rows=[twice], version=1)

    form = browser.get(reverse("rehab:diary", args=[case.pk])).context["form"]

    assert form.asked == {"sets": 6, "last": 15, "load": "1.2"}


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
    who = {"username": physiotherapist.username, "password": PASSWORD}
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
    case.close("discharged", on=today, reason="settled")

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

    with django_assert_num_queries(8):
        browser.get(url)
