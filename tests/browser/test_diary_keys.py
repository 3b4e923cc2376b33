"""The diary under the fingers: a day in one key, a week a screen, and nothing lost by a slip."""

import datetime
import re

import pytest
from django.utils import timezone

from rehab.models import DiaryDay
from tests.browser.keyboard import Keyboard
from tests.factories.cases import create_appointment, create_case, create_clear_screening
from tests.factories.rehab import create_diary, create_issued

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def program(physiotherapist):
    issued = timezone.now() - datetime.timedelta(days=9)
    case = create_case(lead=physiotherapist, opened=issued.date())
    create_clear_screening(case=case)
    return create_issued(case=case, at=issued, version=1)


@pytest.fixture
def typist(person, physiotherapist, program):
    someone = person(physiotherapist)
    someone.open(f"/cases/{program.case_id}/diary/")
    return someone


def cell(program, day: int, name: str) -> str:
    on = timezone.localdate(program.issued_at) + datetime.timedelta(days=day)
    return f"diary-{on}_{name}"


def test_one_key_writes_a_day_as_prescribed_and_leaves_the_pain_to_be_typed(typist, program):
    typist.field(cell(program, 0, "sets_done")).focus()

    typist.page.keyboard.press("a")

    row = [typist.field(cell(program, 0, name)).input_value() for name in (
        "sets_done", "last_set_repetitions", "load_kg", "worst_pain", "next_morning_pain",
    )]  # fmt: skip
    assert (row, typist.focused()) == (
        ["3", "15", "1.2", "", ""], cell(program, 0, "worst_pain"),
    )  # fmt: skip
    typist.wait_until_saved("diary")
    assert DiaryDay.objects.get().sets_done == 3
    assert typist.complaints == []


def test_the_button_of_a_row_does_the_same(typist, program):
    typist.page.get_by_role("button", name="as prescribed").nth(1).click()

    typist.wait_until_saved("diary")
    assert DiaryDay.objects.get().on == timezone.localdate(program.issued_at) + datetime.timedelta(
        days=1
    )


def test_arrows_go_from_cell_to_cell_and_over_into_the_next_week(typist, program):
    page = typist.page
    typist.field(cell(program, 5, "sharp_or_locking")).focus()
    page.keyboard.press("ArrowRight")
    after_right = typist.focused()
    page.keyboard.press("ArrowUp")
    after_up = typist.focused()
    page.keyboard.press("PageDown")
    after_page = typist.focused()
    page.keyboard.press("ArrowLeft")

    assert [after_right, after_up, after_page, typist.focused()] == [
        cell(program, 6, "sets_done"),
        cell(program, 5, "sets_done"),
        cell(program, 7, "sets_done"),
        cell(program, 6, "sharp_or_locking"),
    ]
    assert page.locator(".week[open]").count() == 1


def test_a_refused_cell_is_shown_in_its_open_week_with_what_was_typed(typist, program):
    typist.type(cell(program, 0, "sets_done"), 3)
    typist.type(cell(program, 0, "last_set_repetitions"), 400)

    typist.press("Save the diary")

    typist.page.locator(".error", has_text="Enter 0 to 100 repetitions.").wait_for()
    assert typist.field(cell(program, 0, "last_set_repetitions")).input_value() == "400"
    assert DiaryDay.objects.count() == 0


def test_a_remark_is_one_key_away_and_leads_on_to_the_next_day(typist, program):
    typist.field(cell(program, 0, "sets_done")).focus()
    keys = typist.page.keyboard

    keys.press("a")
    keys.press("r")
    keys.type("Gardening, a rake.")
    keys.press("Enter")

    typist.wait_until_saved("diary")
    kept = DiaryDay.objects.get().remark
    assert (kept, typist.focused()) == ("Gardening, a rake.", cell(program, 1, "sets_done"))
    assert typist.complaints == []


def test_the_desk_types_a_sheet_in_by_keyboard_and_passes_the_days_that_are_typed_in(
    person, front_desk, program
):
    """From the arrival page into the first day and back: a key a day beside the figures on the paper."""
    create_diary(program=program, days=8)  # the first week whole, and a day of the second
    case = program.case
    booked = create_appointment(
        practitioner=case.lead, patient=case.patient, case=case, starts_at=timezone.now()
    )
    desk = person(front_desk)
    desk.open(f"/book/{booked.pk}/arrival/")
    keys = Keyboard(desk)

    keys.command("d", to="/paper-diary/")
    desk.wait_at(f"[name='{cell(program, 8, 'sets_done')}']")
    keys.press("PageUp")
    assert keys.focused() == cell(program, 8, "sets_done")
    for figures in ("310", "421"):
        keys.press("a")
        for figure in figures:
            desk.page.keyboard.type(figure)
            keys.press("Enter")
        keys.press("Enter")
    assert keys.focused() == "done"
    with desk.page.expect_navigation(url=re.compile(r"^[^?]*/arrival/$")):
        keys.access("s")

    typed = DiaryDay.objects.since(timezone.localdate() - datetime.timedelta(days=1))
    assert list(
        typed.order_by("on").values_list("worst_pain", "next_morning_pain", "night_wakings")
    ) == [
        (3, 1, 0),
        (4, 2, 1),
    ]
    assert "2 days of the diary are typed in." in desk.reads()
    assert keys.strokes <= 13
    assert desk.complaints == []
