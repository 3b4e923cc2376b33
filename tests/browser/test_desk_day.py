"""A whole day at the front desk without touching the mouse; at its end the database says exactly that day."""

import datetime
import io
import re
from collections import Counter

import pytest
from django.utils import timezone
from pypdf import PdfReader

from cases.models import Appointment
from clinic.models import Absence, AuditEvent
from rehab.models import Handout, PackRun
from tests.browser.keyboard import Keyboard
from tests.browser.test_follow_up_keyboard import in_order
from tests.factories.cases import create_appointment, create_case
from tests.factories.clinic import create_physiotherapist
from tests.factories.rehab import create_issued

pytestmark = pytest.mark.django_db(transaction=True)

MOST_STROKES = 224
ONE_DAY = datetime.timedelta(days=1)
Status = Appointment.Status


class Day:
    """Two practitioners: four patients each today, three tomorrow, two when one will be away, six due."""

    def __init__(self, first):
        self.first, self.second = (
            first,
            create_physiotherapist(clinic=first.clinic, last_name="Tveit"),
        )
        self.today = timezone.localdate()
        self.away = self.today + 2 * ONE_DAY
        self.coming = [
            self.book(who, self.today, place, program=True)
            for who in self.both
            for place in range(4)
        ]
        self.tomorrow = [self.book(first, self.today + ONE_DAY, place) for place in range(3)]
        self.displaced = [self.book(self.second, self.away, place) for place in range(2)]
        self.due = [create_case(lead=first, due_on=self.today) for _case in range(6)]

    @property
    def both(self):
        return (self.first, self.second)

    def book(self, who, day, place, *, program=False) -> Appointment:
        """The patient's time in the half hours from eight o'clock on."""
        case = create_case(lead=who)
        if program:
            create_issued(case=case)
        eight = timezone.make_aware(datetime.datetime.combine(day, datetime.time(8)))
        starts = eight + place * datetime.timedelta(minutes=30)
        return create_appointment(
            starts_at=starts, practitioner=who, patient=case.patient, case=case
        )


@pytest.fixture
def day(physiotherapist):
    return Day(physiotherapist)


def act(keys: Keyboard, access: str, *, to: str) -> None:
    """Press an access key and wait for where it leads; an address may hold another one after its "?"."""
    with keys.page.expect_navigation(url=re.compile(rf"^[^?]*{to}([?#].*)?$")):
        keys.access(access)


def enter(keys: Keyboard, *, to: str) -> None:
    with keys.page.expect_navigation(url=re.compile(rf"^[^?]*{to}([?#].*)?$")):
        keys.press("Enter")


def nav(keys: Keyboard, word: str, *, to: str) -> None:
    """Tab to the link at the head of each page that says just this."""
    for _tab in range(80):
        if keys.spoken() == word:
            return enter(keys, to=to)
        keys.press("Tab")
    raise AssertionError(f"{word} is not within 80 tabs")


def print_packs(keys: Keyboard, day: Day) -> None:
    act(keys, "p", to="/packs/")
    act(keys, "s", to=r"/packs/\d+/")
    link = keys.page.get_by_role("link", name="All packs in one file")
    link.wait_for()
    with keys.page.context.expect_event("response", lambda r: r.url.endswith(".pdf")) as paper:
        keys.access("p")
    assert paper.value.headers["content-type"] == "application/pdf"
    keys.page.bring_to_front()
    document = PdfReader(io.BytesIO(keys.page.request.get(paper.value.url).body()), strict=True)
    assert len(document.pages) == pages_of_sheets()


def pages_of_sheets() -> int:
    """What the sheets of the packs have by themselves, each begun on a page of its own leaf."""
    counts = [
        len(PdfReader(io.BytesIO(one.as_it_was())).pages)
        for one in Handout.objects.all().with_bytes()
    ]
    return sum(count + count % 2 for count in counts)


def welcome(keys: Keyboard, day: Day) -> None:
    """Down the first column and up the second: a for arrived, the page of what to hand out, and back."""
    nav(keys, "Book", to="/book/")
    into_the_book(keys, day.coming[0])
    arrows = ["ArrowDown"] * 3 + ["ArrowRight"] + ["ArrowUp"] * 3
    seats = [*day.coming[:4], *reversed(day.coming[4:])]
    for seat, arrow in zip(seats, [*arrows, None], strict=True):
        keys.wait_at(f"#booking-{seat.pk}")
        with keys.page.expect_navigation(url="**/arrival/**"):
            keys.press("a")
        act(keys, "s", to="/book/")
        keys.wait_at(f"#booking-{seat.pk}")
        if arrow:
            keys.press(arrow)


def into_the_book(keys: Keyboard, booking: Appointment) -> None:
    """One Tab leads to the first place of the book; from there down the column to the booking."""
    for _tab in range(40):
        if keys.page.evaluate("() => Boolean(document.activeElement.closest('[data-book] tbody'))"):
            break
        keys.press("Tab")
    for _place in range(20):
        if at(keys) == booking:
            return
        keys.press("ArrowDown")
    raise AssertionError(f"{booking} is not in the first column")


def at(keys: Keyboard) -> Appointment | None:
    """The booking that has the focus."""
    found = re.fullmatch(r"booking-(\d+)", keys.page.evaluate("() => document.activeElement.id"))
    return Appointment.objects.get(pk=found[1]) if found else None


def call_off(keys: Keyboard, day: Day) -> None:
    """Two patients of tomorrow call: one has a cold, the other is travelling."""
    act(keys, "j", to="/book/")
    for booking, why in zip(day.tomorrow[1:], ("has a cold", "is travelling"), strict=True):
        into_the_book(keys, booking)
        enter(keys, to=f"/book/{booking.pk}/")
        act(keys, "x", to="/cancel/")
        keys.type("reason", why)
        enter(keys, to="/book/")


def move_a_caller(keys: Keyboard, day: Day) -> None:
    """The first of tomorrow would rather come at the second of the free times."""
    into_the_book(keys, day.tomorrow[0])
    enter(keys, to=f"/book/{day.tomorrow[0].pk}/")
    act(keys, "2", to="/book/")


def note_the_absence(keys: Keyboard, day: Day) -> None:
    """The second practitioner goes on a course; the two who are booked then are moved at once."""
    away = in_order(keys, day.away)
    keys.page.bring_to_front()
    keys.follow("Absences", to="/absences/")
    keys.go_to("staff")
    while keys.page.locator("[name=staff]").input_value() != str(day.second.pk):
        keys.press("ArrowDown")
    keys.type("reason", "a course")
    keys.type("first_day", away)
    act(keys, "s", to="/to-move/")
    for booking in day.displaced:
        keys.reach(f"Move {booking.patient} to")
        enter(keys, to="/to-move/")
    keys.page.get_by_text("Every booking fits.").wait_for()


def book_the_due(keys: Keyboard, day: Day) -> None:
    nav(keys, "Due", to="/due/")
    for _case in day.due:
        act(keys, "s", to="/book/new/")
        act(keys, "1", to="/due/")


def check_the_book(day: Day, before: dict[int, datetime.datetime]) -> None:
    """Who is where: nothing more and nothing less than what the desk did."""
    now = list(Appointment.objects.order_by("pk").select_related("case"))
    assert Counter(one.status for one in now) == {
        Status.ARRIVED: 8, Status.CANCELLED: 2, Status.BOOKED: 3 + 6,
    }  # fmt: skip
    assert [one for one in now if one.arrived_at] == day.coming
    off = [(one, one.cancel_reason) for one in now if one.is_cancelled]
    assert off == list(zip(day.tomorrow[1:], ("has a cold", "is travelling"), strict=True))
    moved = [one for one in now if one.starts_at != before.get(one.pk, one.starts_at)]
    assert [(one, one.sequence) for one in moved] == [
        (one, 1) for one in (day.tomorrow[0], *day.displaced)
    ]
    assert {one.case for one in now if one.pk not in before} == set(day.due)
    absence = Absence.objects.get()
    assert (absence.staff, absence.reason) == (day.second, "a course")
    assert [one for one in now if not one.is_cancelled and absence.takes(one)] == []


def check_the_rest() -> None:
    """What was printed, and what the trail says of all of it."""
    run = PackRun.objects.get()
    assert (run.packs.count(), run.is_ready) == (8, True)
    assert Counter(Handout.objects.values_list("kind", flat=True)) == {
        "appointment card": 8, "home program": 8, "diary page": 8,
    }  # fmt: skip
    trail = Counter(AuditEvent.objects.values_list("verb", flat=True))
    assert {verb: trail[verb] for verb in ("moved", "cancelled", "booked", "noted an absence")} == {
        "moved": 3, "cancelled": 2, "booked": 6, "noted an absence": 1,
    }  # fmt: skip


def test_a_day_at_the_front_desk_by_keyboard_alone(person, front_desk, day):
    desk = person(front_desk)
    keys = Keyboard(desk)
    before = dict(Appointment.objects.values_list("pk", "starts_at"))

    parts = (print_packs, welcome, call_off, move_a_caller, note_the_absence, book_the_due)
    for part in parts:
        part(keys, day)
        keys.note(part.__name__)

    check_the_book(day, before)
    check_the_rest()
    assert desk.page.locator("tbody tr").count() == 0  # nobody is due any more
    assert keys.strokes <= MOST_STROKES, keys.tally
    assert desk.complaints == []
