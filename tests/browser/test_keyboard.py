"""Each person's work without touching the mouse, and how many key strokes it takes beside what is typed."""

import re

import pytest
from django.utils import timezone

from cases.models import Appointment, Case, Intake, Patient, Visit
from clinic.audit import record
from clinic.models import AuditEvent
from rehab.models import Program
from tests.browser.keyboard import Keyboard
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_clear_screening,
    create_patient,
)
from tests.factories.rehab import create_issued

pytestmark = pytest.mark.django_db(transaction=True)

MOST_STROKES = 173
MOST_AT_THE_DESK = 60
MOST_IN_THE_TRAIL = 23
MOST_FROM_THE_LIST = 13  # for two patients
MOST_FOR_A_CALLER = 3  # from a free time of the book: find, take, keep
MOST_FROM_TODAY = 4
MOST_INTO_A_FREE_TIME = 31
MOST_FOR_A_NEW_CALLER = 48


def register(keys: Keyboard) -> None:
    keys.command("n", to="/patients/new/")
    keys.type("given_name", "Marit")
    keys.type("family_name", "Oyelaran")
    keys.type("born", "04051981")
    keys.choose("sex", "female")
    keys.choose("handedness", "right")
    keys.command("s", to=r"/patients/\d+/")
    keys.command("c", to="/cases/new/")
    keys.choose("side", "right")
    keys.type("onset", "10012026")
    keys.command("s", to=r"/cases/\d+/")


def ask(keys: Keyboard) -> None:
    keys.command("g", to="/intake/")
    keys.rate("rest_pain", 1)
    keys.rate("worst_pain", 3)
    keys.choose("nights_woken", "0")
    keys.choose("lasts_over_24_h", "false")
    keys.command("s", to="/screening/")
    keys.access("n")
    keys.command("s", to=r"/cases/\d+/")
    keys.command("s", to=r"/visits/\d+/")


def examine(keys: Keyboard) -> None:
    keys.command("b", to=r"/cases/\d+/")
    keys.command("g", to="/battery/")
    keys.rate("battery-resting_pain", 0)
    keys.choose("battery-wrist-extension-right", "familiar")
    keys.type("battery-wrist-extension-right-pain", "6")
    keys.access("n")
    keys.page.locator("#battery-saved", has_text="Saved").wait_for()
    keys.command("s", to=r"/cases/\d+/")


def measure(keys: Keyboard) -> None:
    keys.command("g", to="/measures/")
    for context, pain in (("at_rest", 1), ("worst_24h", 3), ("on_gripping", 4)):
        keys.rate(f"measures-pain_{context}", pain)
    keys.access("t")
    for side, kg in (("left", ("30", "31", "30.5")), ("right", ("12", "12.5", "12.2"))):
        for number in (1, 2, 3):
            keys.type(f"measures-pain_free_{side}_{number}", kg[number - 1])
    for number in range(1, 16):
        keys.type(f"measures-item_{number}", "1")
    keys.command("s", to=r"/cases/\d+/")


def prescribe(keys: Keyboard) -> None:
    keys.command("g", to="/program/")
    keys.access("s")
    keys.page.locator("[name=dose-0-sets]").wait_for()
    keys.command("s", to="/issue/")
    keys.command("s", to=r"/cases/\d+/")
    # The paper opens in a tab of its own; the case page stays where it is.
    with keys.page.context.expect_event("response", lambda r: "home-program.pdf" in r.url) as paper:
        keys.access("p")
    assert paper.value.headers["content-type"] == "application/pdf"


def write_and_sign(keys: Keyboard) -> None:
    keys.page.bring_to_front()
    keys.command("s", to=r"/visits/\d+/")
    keys.access("w")
    keys.type("notes-subjective", "Hurts when planing boards.")
    keys.page.locator("#notes-saved", has_text="Saved").wait_for()
    keys.command("s", to="/sign/")
    keys.command("s", to=r"/cases/\d+/")


def test_a_first_visit_by_keyboard_alone(person, physiotherapist):
    keys = Keyboard(person(physiotherapist))

    for part in (register, ask, examine, measure, prescribe, write_and_sign):
        part(keys)
        keys.note(part.__name__)

    assert Visit.objects.get().signed_name == str(physiotherapist)
    assert Program.objects.get().is_issued
    assert keys.strokes <= MOST_STROKES, keys.tally


def fill_in(keys: Keyboard) -> None:
    keys.type("given_name", "Odile")
    keys.type("family_name", "Carrick")
    keys.type("born", "04051981")
    keys.choose("sex", "female")
    keys.choose("handedness", "right")


def welcome(keys: Keyboard) -> None:
    keys.command("n", to="/patients/new/")
    fill_in(keys)
    keys.command("s", to=r"/patients/\d+/")


def book(keys: Keyboard) -> None:
    keys.command("s", to="/book/new/")
    take(keys, "1", to=r"/patients/\d+/")


def take(keys: Keyboard, number: str, *, to: str) -> None:
    """Book the free time of that number; the address before holds where it leads on to, after its "?"."""
    with keys.page.expect_navigation(url=re.compile(rf"^[^?]*{to}$")):
        keys.access(number)


def hand_out(keys: Keyboard, *, who: str) -> None:
    """Mark who is there as arrived, and print what they take home."""
    keys.follow("Today", to=":[0-9]+/")
    keys.follow(f"Arrived: {who}", to="/arrival/")
    keys.command("p", to="/papers/")
    with keys.page.context.expect_event("response", lambda r: "home-program.pdf" in r.url) as paper:
        keys.access("p")
    assert paper.value.headers["content-type"] == "application/pdf"


def move_on(keys: Keyboard) -> None:
    keys.page.bring_to_front()
    keys.follow("Due", to="/due/")


def test_a_monday_at_the_front_desk_by_keyboard_alone(person, physiotherapist, front_desk):
    case = create_case(lead=physiotherapist)
    Intake.objects.create(case=case, nights_woken=0)
    create_clear_screening(case=case)
    create_issued(case=case)
    noon = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    today = create_appointment(
        starts_at=noon, practitioner=physiotherapist, patient=case.patient, case=case
    )
    desk = person(front_desk)
    keys = Keyboard(desk)

    for part in (welcome, book):
        part(keys)
        keys.note(part.__name__)
    hand_out(keys, who=str(case.patient))
    move_on(keys)
    keys.note("hand out and move on")

    today.refresh_from_db()
    assert today.status == Appointment.Status.ARRIVED
    assert Appointment.objects.exclude(pk=today.pk).get().patient.given_name == "Odile"
    assert keys.strokes <= MOST_AT_THE_DESK, keys.tally
    assert desk.complaints == []


def book_the_first(keys: Keyboard) -> None:
    with keys.page.expect_navigation(url=re.compile("/book/new/")):
        keys.access("s")


def test_those_who_are_due_are_booked_by_keyboard_alone(person, physiotherapist, front_desk):
    """The first of the list has a key, and so has the first of the free times; another is looked for."""
    today = timezone.localdate()
    for _case in range(2):
        create_case(lead=physiotherapist, due_on=today)
    desk = person(front_desk)
    keys = Keyboard(desk)

    keys.follow("Due", to="/due/")
    book_the_first(keys)
    take(keys, "1", to="/due/")
    book_the_first(keys)
    keys.access("a")
    keys.page.locator("[name=practitioner]:focus").wait_for()
    keys.press("ArrowUp")
    with keys.page.expect_navigation():
        keys.access("f")
    take(keys, "2", to="/due/")

    first, second = Appointment.objects.order_by("pk")
    assert first.practitioner == second.practitioner == physiotherapist
    assert Case.objects.of(front_desk.clinic).due_by(today).count() == 2
    assert desk.page.locator("tbody tr").count() == 0
    assert keys.strokes <= MOST_FROM_THE_LIST, keys.strokes
    assert desk.complaints == []


def into_a_free_time(keys: Keyboard) -> None:
    """From the day's page to the first free time of tomorrow's book, and to who is to come then."""
    keys.follow("Book", to="/book/")
    keys.access("j")
    keys.page.wait_for_url("**/book/?day=*")
    for _tab in range(40):
        if keys.page.evaluate("() => document.activeElement.id.startsWith('free-')"):
            break
        keys.press("Tab")
    with keys.page.expect_navigation(url=re.compile("/book/new/")):
        keys.press("Enter")


def look_for(keys: Keyboard, name: str) -> None:
    keys.wait_at("main [name=q]")
    keys.page.keyboard.type(name)
    with keys.page.expect_navigation(url=re.compile("q=")):
        keys.press("Enter")


def take_the_first(keys: Keyboard, caller: Patient) -> None:
    """The first who is found has the focus."""
    keys.wait_at(f"main th a[href*='patient={caller.pk}']")
    with keys.page.expect_navigation(url=re.compile(f"patient={caller.pk}")):
        keys.press("Enter")


def keep(keys: Keyboard) -> None:
    with keys.page.expect_navigation(url=re.compile(r"/book/\?day=[^?]*$")):
        keys.access("s")


def test_a_caller_on_record_is_booked_into_a_free_time_by_keyboard_alone(
    person, physiotherapist, front_desk
):
    caller = create_patient(clinic=front_desk.clinic, given_name="Odile", family_name="Carrick")
    desk = person(front_desk)
    keys = Keyboard(desk)

    into_a_free_time(keys)
    keys.note("to the time")
    look_for(keys, "carr")
    take_the_first(keys, caller)
    keep(keys)
    keys.note("who comes")

    assert Appointment.objects.get().patient == caller
    assert keys.tally["who comes"] <= MOST_FOR_A_CALLER, keys.tally
    assert keys.strokes <= MOST_INTO_A_FREE_TIME, keys.tally
    assert desk.complaints == []


def test_a_caller_is_booked_from_the_days_page(person, physiotherapist, front_desk):
    """Whatever else the desk does on it: who, then the first of the free times, and back."""
    caller = create_patient(clinic=front_desk.clinic, given_name="Odile", family_name="Carrick")
    desk = person(front_desk)
    keys = Keyboard(desk)

    keys.access("s")
    keys.page.wait_for_url("**/book/new/?next=/")
    look_for(keys, "carr")
    take_the_first(keys, caller)
    take(keys, "1", to=r":\d+/(#booking-\d+)?")

    assert Appointment.objects.get().patient == caller
    assert keys.strokes <= MOST_FROM_TODAY
    assert desk.complaints == []


def test_a_caller_who_is_new_is_registered_on_the_way_and_keeps_the_time(
    person, physiotherapist, front_desk
):
    desk = person(front_desk)
    keys = Keyboard(desk)

    into_a_free_time(keys)
    look_for(keys, "carrick")
    keys.note("not on record")
    keys.command("n", to="/patients/new/")
    fill_in(keys)
    with keys.page.expect_navigation(url=re.compile(r"/book/new/.*start=.*patient=\d+")):
        keys.access("s")
    keep(keys)

    booked = Appointment.objects.get()
    assert (booked.patient.given_name, booked.kind) == ("Odile", Appointment.Kind.FIRST)
    assert keys.strokes <= MOST_FOR_A_NEW_CALLER, keys.tally
    assert desk.complaints == []


def test_a_look_at_the_trail_by_keyboard_alone(person, physiotherapist, manager):
    first = AuditEvent.objects.create(
        clinic=manager.clinic, actor=physiotherapist, verb="signed in"
    )
    for _entry in range(50):
        record(physiotherapist, "opened")
    someone = person(manager)
    keys = Keyboard(someone)

    keys.follow("Audit", to="/audit/")
    keys.command("j", to=r"/audit/\?before=\d+")

    oldest = keys.page.locator("tbody tr").last.inner_text()
    assert oldest.split("\t")[1:3] == [str(first.actor), "signed in"]
    assert keys.strokes <= MOST_IN_THE_TRAIL, keys.strokes
    assert someone.complaints == []
