"""Every key of the page “Keys” does what its words say, where it says so, and nowhere else."""

import datetime

import pytest
from django.utils import timezone

from cases.models import Appointment
from clinic.keys import BOOK, DIARY, GRID, PICTURE, SCALE, TRIAL, Group
from clinic.models import Staff
from tests.browser.situations import a_clinic_at_work
from tests.browser.test_wrist import choose_picture, click, points
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_clear_screening,
    create_signed_visit,
    create_visit,
)
from tests.factories.rehab import create_issued

pytestmark = pytest.mark.django_db(transaction=True)

PRESSED = {
    "←": "ArrowLeft", "→": "ArrowRight", "↑": "ArrowUp", "↓": "ArrowDown", "−": "-",
    "Page Down": "PageDown", "Page Up": "PageUp",
}  # fmt: skip


# Whether the page does something with a key that is pressed nowhere in particular.
IS_TAKEN = """(key) => !document.body.dispatchEvent(
    new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true })
)"""


def told(group: Group) -> set[str]:
    return {key for line in group.keys for key in line.keys}


def press(someone, key: str) -> None:
    someone.page.keyboard.press(PRESSED.get(key, key))


@pytest.fixture
def measures(person, physiotherapist):
    """At the measures of a second visit, where the change is rated too."""
    opened = timezone.localdate() - datetime.timedelta(days=10)
    case = create_case(lead=physiotherapist, opened=opened)
    create_signed_visit(case=case)
    someone = person(physiotherapist)
    someone.open(f"/visits/{create_visit(case=case).pk}/measures/")
    return someone


def test_the_keys_of_a_scale(measures):
    measures.stop_time()
    chosen = "[name='{}']:checked"
    rest, change = chosen.format("measures-pain_at_rest"), chosen.format("measures-global_rating")
    value = {}
    for key in sorted(told(SCALE) - {"−"}):
        measures.page.focus(rest)
        press(measures, key)
        value[key] = measures.page.input_value(rest)
        measures.page.clock.fast_forward(700)  # or the next digit would follow a 1
    measures.page.focus(rest)
    measures.page.keyboard.type("10")
    ten = measures.page.input_value(rest)
    measures.page.focus(change)
    measures.page.keyboard.type("-3")

    assert value == {digit: digit for digit in "0123456789"} | {"Backspace": "", "Delete": ""}
    assert (ten, measures.page.input_value(change)) == ("10", "-3")


def test_the_letters_after_a_trial(measures):
    why = {}
    for number, letter in enumerate(sorted(told(TRIAL)), start=1):
        reading = measures.field(f"measures-pain_free_left_{number}")
        reading.fill(f"3{number}{letter}")
        press(measures, "Tab")
        why[letter] = reading.locator("xpath=following-sibling::select[1]").input_value()
        assert reading.input_value() == f"3{number}"

    assert why == {"f": "too_fast", "p": "past_pain", "x": "slipped"}


@pytest.fixture
def diary(person, physiotherapist):
    """At the first cell of a diary of two weeks."""
    issued = timezone.now() - datetime.timedelta(days=9)
    case = create_case(lead=physiotherapist, opened=issued.date())
    create_clear_screening(case=case)
    create_issued(case=case, at=issued, version=1)
    someone = person(physiotherapist)
    someone.open(f"/cases/{case.pk}/diary/")
    someone.page.locator(".week").first.evaluate("week => (week.open = true)")
    someone.page.locator(".week [name$='sets_done']").first.focus()
    return someone


def test_the_keys_of_the_diary_and_of_a_table(diary):
    first = timezone.localdate() - datetime.timedelta(days=9)
    cell = "diary-{}_{}".format
    leads = [
        ("→", cell(first, "last_set_repetitions")),
        ("←", cell(first, "sets_done")),
        ("Enter", cell(first, "last_set_repetitions")),
        ("↓", cell(first + datetime.timedelta(days=1), "last_set_repetitions")),
        ("↑", cell(first, "last_set_repetitions")),
        ("Page Down", cell(first + datetime.timedelta(days=7), "sets_done")),
        ("Page Up", cell(first + datetime.timedelta(days=6), "sharp_or_locking")),
        ("a", cell(first + datetime.timedelta(days=6), "worst_pain")),
        ("r", cell(first + datetime.timedelta(days=6), "remark")),
    ]
    led = []
    for key, _to in leads:
        press(diary, key)
        led.append((key, diary.focused()))

    assert led == leads
    assert {key for key, _to in leads} == told(DIARY) | told(GRID)
    diary.page.keyboard.type("a harder row")
    assert diary.page.evaluate("document.activeElement.value") == "a harder row"


def test_the_keys_of_the_book(person, front_desk, physiotherapist):
    noon = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    booked = create_appointment(practitioner=physiotherapist, starts_at=noon, minutes=30)
    desk = person(front_desk)
    does = [
        ("a", ("arrived", 30)), ("t", ("booked", 30)), ("m", ("missed", 30)), ("t", ("booked", 30)),
        ("+", ("booked", 45)), ("−", ("booked", 30)), ("s", ("seen", 30)),
    ]  # fmt: skip
    done = []
    for key, _what in does:
        desk.open("/book/")
        desk.page.focus(f"#booking-{booked.pk}")
        with desk.page.expect_navigation():
            press(desk, key)
        booked.refresh_from_db()
        minutes = (booked.ends_at - booked.starts_at).seconds // 60
        done.append((key, (booked.status, minutes)))

    assert done == does
    elsewhere = {"←", "↑", "↓", "→", "Enter", "Escape"}  # tests/browser/test_book.py presses these
    assert {key for key, _what in does} == told(BOOK) - elsewhere


def test_a_letter_in_a_field_beside_the_book_marks_nobody(person, front_desk, physiotherapist):
    noon = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    create_appointment(practitioner=physiotherapist, starts_at=noon, minutes=30)
    desk = person(front_desk)
    desk.open("/book/")

    for control in ("main [name=day]", "main [name=who]", "main a[rel=next]"):
        desk.page.focus(control)
        for key in "asmt":
            press(desk, key)

    assert [one.status for one in Appointment.objects.all()] == ["booked"]
    assert desk.page.url.endswith("/book/")


def test_the_keys_of_a_still_picture(person, physiotherapist):
    case = create_case(lead=physiotherapist)
    someone = person(physiotherapist)
    someone.open(f"/cases/{case.pk}/wrist-angle/")
    click(choose_picture(someone, "contact"), (200, 280), (200, 150), (250, 100))
    moves = {"←": (-1, 0), "→": (1, 0), "↑": (0, -1), "↓": (0, 1)}
    moved = {}
    for number in (1, 2, 3):
        press(someone, str(number))
        for arrow in moves:
            before = points(someone, "contact")
            press(someone, arrow)
            after = points(someone, "contact")
            moved[number, arrow] = [b - a for a, b in zip(before, after, strict=True)]

    assert moved == {
        (number, arrow): [0] * (2 * number - 2) + [*step] + [0] * (6 - 2 * number)
        for number in (1, 2, 3)
        for arrow, step in moves.items()
    }
    assert told(PICTURE) == {"1", "2", "3", *moves}


def test_the_map_of_a_page_says_what_each_of_its_letters_does(person, physiotherapist):
    numbers = a_clinic_at_work(physiotherapist)
    someone = person(physiotherapist)
    someone.open(f"/visits/{numbers['draft visit']}/")
    someone.page.locator("main").focus()
    press(someone, "?")
    shown = someone.page.get_by_role("dialog", name="Keys on this page")
    shown.wait_for()

    does = shown.locator("dl").first.locator("dd").all_inner_texts()
    assert len(does) > 5
    assert [words for words in does if not words or words.count("Decide") > 1] == []


def test_the_map_of_a_page_names_the_places_that_the_page_has(diary, person, front_desk):
    press(diary, "?")  # in a cell it is a sign like any other
    assert not diary.page.get_by_role("dialog").is_visible()
    shown = {}
    for someone, address in ((diary, diary.page.url), (person(front_desk), "/patients/")):
        someone.open(address)
        press(someone, "?")
        keys = someone.page.get_by_role("dialog", name="Keys on this page")
        keys.wait_for()
        shown[someone] = keys.locator("h3:visible").all_inner_texts()

    assert list(shown.values()) == [[GRID.place, DIARY.place], []]


def test_who_switches_it_off_gets_no_map(person, front_desk):
    """WCAG 2.2, 2.1.4: a shortcut of one sign can be turned off, or works only where the focus is."""
    taken = {}
    for opens in (True, False):
        Staff.objects.filter(pk=front_desk.pk).update(opens_key_map=opens)
        someone = person(front_desk)
        someone.open("/")
        taken[opens] = someone.page.evaluate(IS_TAKEN, "?")

    assert taken == {True: True, False: False}
