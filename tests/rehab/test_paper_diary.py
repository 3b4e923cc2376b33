"""The paper diary typed in at the front desk: written once, never read, never overwritten."""

import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from clinic.models import AuditEvent
from clinic.templatetags.clinic_tags import written
from rehab.forms.diary_rows import columns
from rehab.models import DiaryDay, Equipment, Program
from tests.factories.cases import create_appointment, create_case
from tests.factories.rehab import create_diary, create_issued
from tests.pages import DONE, TYPING, typed
from tests.rehab.sessions import SESSION, on, row

# Values that nothing else on the page says.
SEEDED = {
    "sets_done": 13,
    "last_set_repetitions": 87,
    "load_kg": 37.5,
    "worst_pain": 9,
    "next_morning_pain": 8,
    "night_wakings": 19,
    "remark": "Zqremark",
}


@pytest.fixture
def url(case):
    return reverse("rehab:paper_diary", args=[case.pk])


@pytest.fixture
def desk(signed_in, front_desk):
    return signed_in(front_desk)


def said(answer) -> str:
    """All that an answer says, but for what is another each time: the token, and what counts seconds."""
    marks = r'\b[A-Za-z0-9]{64}\b|data-(typist|left)="[^"]*"'
    return re.sub(marks, "", answer.content.decode())


def test_only_days_that_nobody_has_typed_are_open(desk, url, program):
    create_diary(program=program, days=8)

    form = desk.get(url).context["form"]

    assert form.open == [on(program, n) for n in range(8, 15)]
    assert [(week.written, week.is_open) for week in form.weeks] == [
        (7, False),
        (1, True),
        (0, False),
    ]


def test_a_day_on_record_is_only_said_to_be_typed_in(desk, url, program):
    create_diary(program=program, days=1, **SEEDED)

    page = desk.get(url)

    source = page.content.decode()
    assert re.search(rf"{on(program):%a %-d %b}</th>\s*<td[^>]*>typed in</td>", source)
    assert f'name="diary-{on(program)}_' not in source


def test_a_gap_between_typed_days_can_be_typed(desk, url, program):
    create_diary(program=program, days=1)
    create_diary(program=program, days=12, first=on(program, 2))

    form = desk.get(url).context["form"]

    assert form.open == [on(program, 1), on(program, 14)]
    assert form.first_cell == f"id_diary-{on(program, 14)}_sets_done"


def test_the_columns_are_those_of_the_paper_in_its_order(desk, url, program):
    page = desk.get(url)

    names = re.findall(rf'name="diary-{on(program)}_(\w+)"', page.content.decode())
    assert names == list(columns())


def test_what_was_typed_is_kept_and_not_shown_again(desk, url, program, case):
    page = desk.get(url)

    answer = desk.post(url, typed(page, row(on(program), remark="Zqremark")) | DONE)

    day = DiaryDay.objects.get()
    assert answer.url == reverse("cases:patient", args=[case.patient_id])
    assert (day.on, day.program, day.load_kg, day.remark) == (
        on(program), program, 1.2, "Zqremark",
    )  # fmt: skip
    assert {name: getattr(day, name) for name in SESSION} == SESSION
    after = desk.get(url)
    assert on(program) not in after.context["form"].open
    assert "Zqremark" not in after.content.decode()


def test_it_leads_back_to_where_the_paper_was_taken_in(desk, url, program):
    page = desk.get(f"{url}?next=/book/")

    answer = desk.post(url, typed(page, row(on(program))) | DONE | {"next": "/book/"}, follow=True)

    assert answer.redirect_chain == [("/book/", 302)]
    assert "1 day of the diary is typed in." in answer.content.decode()


def test_who_typed_it_is_in_the_trail_without_a_value(desk, url, program, front_desk):
    desk.post(url, typed(desk.get(url), row(on(program)) | row(on(program, 1))) | DONE)

    event = AuditEvent.objects.get(verb="typed diary")
    assert (event.actor, event.detail) == (front_desk, {"days": 2, "page": "paper diary"})


def test_a_day_typed_meanwhile_is_not_overwritten_and_not_shown(desk, url, program):
    page, (first, second) = desk.get(url), (on(program), on(program, 1))
    create_diary(program=program, days=1, **SEEDED)

    answer = desk.post(url, typed(page, row(first) | row(second)) | DONE)

    assert (answer.status_code, DiaryDay.objects.count()) == (422, 1)
    assert DiaryDay.objects.get().worst_pain == SEEDED["worst_pain"]
    assert answer.context["form"].non_field_errors() == [
        f"{written(first)} has been typed in meanwhile and stays as it is. What you typed was "
        "not saved: Sets 3, Last set 15, kg 1.2, Pain during 2, Next morning 1, Woken 0."
    ]
    assert answer.context["form"][f"{second}_worst_pain"].value() == "2"


def test_what_was_typed_beside_it_is_saved_at_the_second_press(desk, url, program):
    page = desk.get(url)
    create_diary(program=program, days=1, worst_pain=5)
    refused = desk.post(url, typed(page, row(on(program)) | row(on(program, 1))) | DONE)

    desk.post(url, typed(refused) | DONE)

    assert [(day.on, day.worst_pain) for day in DiaryDay.objects.order_by("on")] == [
        (on(program), 5),
        (on(program, 1), 2),
    ]


@pytest.mark.parametrize("typing", [{}, TYPING])
@pytest.mark.parametrize(
    "cells",
    [{}, {"worst_pain": 11}, SEEDED, {"load_kg": 2.4}, {"opened_with": "0", "compared": "0"}],
)
def test_no_answer_tells_apart_what_is_on_record(desk, url, program, cells, typing):
    """Whatever the desk sends for a day on record, the answer is the same for any record of it."""
    page, day = desk.get(url), on(program)
    Equipment.objects.create(case=program.case, weights_kg=[2.5], has_bottle=False)
    sent = typed(page, row(day) | {f"{day}_{name}": value for name, value in cells.items()}) | DONE
    answers, pages = [], []
    for values in (SEEDED, {name: None for name in SEEDED} | {"sets_done": 1, "remark": ""}):
        DiaryDay.objects.all().delete()
        create_diary(program=program, days=1, **values)
        answer = desk.post(url, sent, **typing)
        # The number of the request is another each time.
        headers = {name: text for name, text in answer.headers.items() if name != "X-Request-ID"}
        answers.append((answer.status_code, said(answer), headers))
        pages.append(said(desk.get(url)))

    assert answers[0] == answers[1]
    assert pages[0] == pages[1]
    assert DiaryDay.objects.get().sets_done == 1


def test_a_load_that_the_patient_does_not_own_is_refused_without_naming_what_they_own(
    desk, url, program
):
    Equipment.objects.create(case=program.case, weights_kg=[0.5, 7.25], has_bottle=False)
    page, day = desk.get(url), on(program)

    answer = desk.post(url, typed(page, row(day, load_kg=1.3)) | DONE)

    sentence = "No such load is known. Look at the paper again, or put it into the remark."
    assert answer.context["form"].errors == {f"{day}_load_kg": [sentence]}
    assert "7.25" not in answer.content.decode()


def test_a_wrong_cell_is_answered_at_its_field_with_what_was_typed(desk, url, program):
    page, day = desk.get(url), on(program, 8)

    answer = desk.post(url, typed(page, row(day, worst_pain=11)) | DONE)

    form = answer.context["form"]
    assert form.errors == {f"{day}_worst_pain": ["Pain is a whole number from 0 to 10."]}
    assert [week.number for week in form.weeks if week.is_open] == [2]
    assert form[f"{day}_worst_pain"].value() == "11"


def test_nothing_typed_is_said_so(desk, url, program):
    answer = desk.post(url, typed(desk.get(url)) | DONE)

    assert answer.context["form"].non_field_errors() == [
        "Nothing is typed yet. Begin with the first day on the paper."
    ]


def test_the_paper_of_an_earlier_program_is_refused_with_what_was_typed(desk, url, case, program):
    page = desk.get(url)
    later = timezone.now() - datetime.timedelta(days=3)
    Program.objects.update(ended_at=later)
    second = create_issued(case=case, at=later, version=2)

    answer = desk.post(url, typed(page, row(on(program))) | DONE)

    assert answer.context["form"].non_field_errors() == [
        f"{written(on(program))} is not a day of program 2, which was issued on "
        f"{written(on(second))}. It was not saved: Sets 3, Last set 15, kg 1.2, Pain during 2, "
        "Next morning 1, Woken 0."
    ]


def test_a_full_diary_has_nothing_to_type(desk, url, program):
    create_diary(program=program, days=15)

    page = desk.get(url).content.decode()

    assert "Every day up to today is typed in." in page
    assert "Save the diary" not in page


def test_without_a_running_program_there_is_nothing_to_type(desk, url, case):
    answer = desk.get(url, follow=True)

    assert answer.redirect_chain == [(reverse("cases:patient", args=[case.patient_id]), 302)]
    assert "No program is running, so there is no diary to type." in answer.content.decode()


def test_the_practitioner_reads_what_the_desk_typed(desk, signed_in, url, program, case):
    desk.post(url, typed(desk.get(url), row(on(program), worst_pain=7)) | DONE)

    practitioner = signed_in(case.lead)
    form = practitioner.get(reverse("rehab:diary", args=[case.pk])).context["form"]

    assert form[f"{on(program)}_worst_pain"].value() == 7


@pytest.mark.parametrize(
    "address", ["rehab:arrival", "rehab:papers", "cases:patient"], ids=lambda name: name
)
def test_the_desk_finds_it_where_the_patient_hands_the_sheet_over(
    desk, url, program, booked, address
):
    which = booked.pk if address == "rehab:arrival" else booked.patient_id

    page = desk.get(reverse(address, args=[which])).content.decode()

    assert f'accesskey="d" href="{url}?next=' in page


def test_the_patients_page_offers_it_where_a_program_runs(desk, url, program, case):
    other = create_case(lead=case.lead, patient=case.patient, side="left")
    page = f"/patients/{case.patient_id}/"
    with_program = desk.get(page).content.decode()
    program.end(at=timezone.now())
    without = desk.get(page).content.decode()

    assert url in with_program
    assert reverse("rehab:paper_diary", args=[other.pk]) not in with_program
    assert "Type in the diary" not in without


@pytest.fixture
def booked(case):
    return create_appointment(
        practitioner=case.lead, patient=case.patient, case=case, starts_at=timezone.now()
    )


@pytest.mark.parametrize("who", ["physiotherapist", "front_desk", "manager"])
def test_whoever_holds_the_paper_may_type_it(request, signed_in, url, program, who):
    assert signed_in(request.getfixturevalue(who)).get(url).status_code == 200


def test_a_diary_of_another_clinic_does_not_exist(desk):
    elsewhere = create_issued(case=create_case()).case_id
    url = reverse("rehab:paper_diary", args=[elsewhere])

    assert (desk.get(url).status_code, desk.post(url).status_code) == (404, 404)


@pytest.mark.parametrize("days", [1, 10])
def test_it_costs_the_same_however_many_days(desk, url, program, days, django_assert_num_queries):
    create_diary(program=program, days=days)

    with django_assert_num_queries(6):
        desk.get(url)
