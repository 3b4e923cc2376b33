"""The book at two desks: what one does the other sees, by keys, by mouse, and without scripts."""

import datetime

import pytest
from django.utils import timezone

from cases.models import Appointment
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def tomorrow(physiotherapist):
    """Midnight of tomorrow at the clinic, which is open from 08:00 to 18:00."""
    today = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
    return today + datetime.timedelta(days=1)


@pytest.fixture
def booked(physiotherapist, tomorrow):
    return create_appointment(
        practitioner=physiotherapist, starts_at=tomorrow.replace(hour=10), minutes=30
    )


@pytest.fixture
def today(physiotherapist):
    noon = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    return create_appointment(practitioner=physiotherapist, starts_at=noon)


def book_of(day) -> str:
    return f"/book/?day={day:%Y-%m-%d}"


def place(who, day, clock) -> str:
    return f"[id='free-{who.pk}-{day:%Y%m%d}-{clock}']"


def test_two_desks_see_each_other_and_the_focus_stays(
    person, front_desk, manager, physiotherapist, booked, tomorrow
):
    desk, other = person(front_desk), person(manager)
    for one in (desk, other):
        one.open(book_of(tomorrow))
    desk.page.focus(f"#booking-{booked.pk}")

    patient = create_patient(clinic=booked.clinic, given_name="Odile", family_name="Carrick")
    other.open(
        f"/book/new/?patient={patient.pk}&practitioner={physiotherapist.pk}"
        f"&day={tomorrow:%Y-%m-%d}&start=14:00"
    )
    other.press("Book", to="/book/")

    desk.page.get_by_role("link", name="Odile Carrick").wait_for()
    assert desk.focused() == f"booking-{booked.pk}"
    assert "2 appointments" in desk.page.locator("#lead").inner_text()
    assert desk.complaints == other.complaints == []


def test_who_stands_on_a_free_time_that_is_taken_is_told_and_stays_there(
    person, front_desk, physiotherapist, tomorrow
):
    desk = person(front_desk)
    desk.open(book_of(tomorrow))
    desk.page.focus(place(physiotherapist, tomorrow, "1100"))

    taken = create_appointment(practitioner=physiotherapist, starts_at=tomorrow.replace(hour=11))

    desk.page.locator("[data-gone]").wait_for()
    assert desk.focused() == f"booking-{taken.pk}"


def test_a_page_that_gets_no_answer_says_so_and_takes_it_back(person, front_desk, booked, tomorrow):
    desk = person(front_desk)
    desk.open(book_of(tomorrow))
    offline = desk.page.locator("[data-offline]")

    desk.page.context.set_offline(True)
    offline.wait_for()
    desk.page.context.set_offline(False)
    offline.wait_for(state="hidden")


def test_the_physiotherapist_sees_that_the_patient_is_here(person, front_desk, today):
    treats = person(today.practitioner)
    treats.open("/")
    desk = person(front_desk)
    desk.open("/book/")

    desk.page.focus(f"#booking-{today.pk}")
    desk.page.keyboard.press("a")
    desk.page.wait_for_url("**/arrival/**")

    treats.page.locator("#lead", has_text="has arrived and waits").wait_for()
    assert "0 min" in treats.page.locator(f"#place-{today.pk}").inner_text()
    assert "Hand out" in desk.reads()
    desk.press("Go on", to="/book/")
    desk.wait_at(f"#booking-{today.pk}")
    assert treats.complaints == desk.complaints == []


def test_arrows_lead_from_place_to_place_and_enter_books_there(
    person, front_desk, physiotherapist, booked, tomorrow
):
    desk = person(front_desk)
    desk.open(book_of(tomorrow))
    keys = desk.page.keyboard

    desk.page.focus(f"#booking-{booked.pk}")
    keys.press("ArrowDown")
    assert f"[id='{desk.focused()}']" == place(physiotherapist, tomorrow, "1030")
    keys.press("ArrowUp")
    assert desk.focused() == f"booking-{booked.pk}"
    keys.press("ArrowUp")
    keys.press("Enter")

    desk.page.wait_for_url("**/book/new/**")
    assert "start=09:30" in desk.page.url


def test_one_tab_leads_into_the_book_and_one_out_of_it(person, front_desk, booked, tomorrow):
    desk = person(front_desk)
    desk.open(book_of(tomorrow))

    stops = desk.page.evaluate(
        "() => [...document.querySelectorAll('[data-book] tbody a')].filter(a => a.tabIndex === 0).length"
    )

    assert stops == 1


def test_plus_and_minus_change_the_length_by_a_quarter_of_an_hour(
    person, front_desk, booked, tomorrow
):
    desk = person(front_desk)
    desk.open(book_of(tomorrow))

    for key, minutes in (("+", 45), ("-", 30)):
        desk.page.focus(f"#booking-{booked.pk}")
        with desk.page.expect_navigation():
            desk.page.keyboard.press(key)
        booked.refresh_from_db()
        assert booked.minutes == minutes
        desk.wait_at(f"#booking-{booked.pk}")


def draw(person, link, target, *, let_go: bool = True) -> None:
    """Draw a booking with the mouse to the middle of another place."""
    mouse, start = person.page.mouse, person.page.locator(link).bounding_box()
    person.page.locator(target).scroll_into_view_if_needed()
    start, end = (person.page.locator(one).bounding_box() for one in (link, target))
    mouse.move(start["x"] + 10, start["y"] + 8)
    mouse.down()
    mouse.move(start["x"] + 30, start["y"] + 30, steps=3)
    mouse.move(end["x"] + 12, end["y"] + 8, steps=5)
    if let_go:
        mouse.up()


@pytest.mark.parametrize("address", ["/book/?", "/book/week/?", "/book/week/?who={who}&"])
def test_a_booking_is_drawn_to_a_free_time(
    person, front_desk, physiotherapist, booked, tomorrow, address
):
    colleague = create_physiotherapist(clinic=booked.clinic)
    to = physiotherapist if "who" in address else colleague
    desk = person(front_desk, viewport={"width": 1280, "height": 3000})
    desk.open(f"{address.format(who=physiotherapist.pk)}day={tomorrow:%Y-%m-%d}")
    target = place(to, tomorrow, "08:00" if address == "/book/week/?" else "0800")

    with desk.page.expect_navigation():
        draw(desk, f"#booking-{booked.pk}", target)

    booked.refresh_from_db()
    assert (booked.practitioner, booked.starts_at) == (to, tomorrow.replace(hour=8))
    assert "Saved:" in desk.reads()
    assert desk.complaints == []


def test_escape_lets_a_drawn_booking_go(person, front_desk, physiotherapist, booked, tomorrow):
    desk = person(front_desk, viewport={"width": 1280, "height": 2000})
    desk.open(book_of(tomorrow))

    draw(desk, f"#booking-{booked.pk}", place(physiotherapist, tomorrow, "0800"), let_go=False)
    assert desk.page.locator(".drawn-along").count() == 1
    desk.page.keyboard.press("Escape")
    desk.page.mouse.up()
    desk.hear_from_the_server()

    booked.refresh_from_db()
    assert booked.starts_at == tomorrow.replace(hour=10)
    assert desk.page.locator(".drawn-along").count() == 0
    assert desk.page.url.endswith(book_of(tomorrow))


def test_a_booking_drawn_onto_too_short_a_time_is_refused_with_a_sentence(
    person, front_desk, physiotherapist, booked, tomorrow
):
    Appointment.objects.filter(pk=booked.pk).update(ends_at=tomorrow.replace(hour=11))
    create_appointment(
        practitioner=physiotherapist, starts_at=tomorrow.replace(hour=8, minute=30), minutes=60
    )
    desk = person(front_desk, viewport={"width": 1280, "height": 2000})
    desk.open(book_of(tomorrow))

    draw(desk, f"#booking-{booked.pk}", place(physiotherapist, tomorrow, "0800"))

    desk.page.get_by_text(f"{physiotherapist} is already booked then.").first.wait_for()
    booked.refresh_from_db()
    assert booked.starts_at == tomorrow.replace(hour=10)


def test_everything_of_the_book_works_without_scripts(person, front_desk, physiotherapist, today):
    desk = person(front_desk, java_script_enabled=False)
    desk.open("/book/")

    desk.page.locator(f"#missed-{today.pk}").click(force=True)
    desk.page.wait_for_url("**/book/**")
    today.refresh_from_db()
    assert today.status == "missed"

    desk.page.locator(f"#booked-{today.pk}").click(force=True)
    desk.page.locator(f"#booking-{today.pk}").click()
    desk.press("15 min longer", to=f"/book/{today.pk}/")
    today.refresh_from_db()
    assert (today.status, today.minutes) == ("booked", 45)


@pytest.mark.parametrize("width", [1280, 1100])
def test_all_seven_days_of_a_week_are_on_the_page(person, front_desk, physiotherapist, width):
    desk = person(front_desk, viewport={"width": width, "height": 900})
    desk.open(f"/book/week/?who={physiotherapist.pk}")

    days = desk.page.locator("[data-book] thead th:not(.at)")
    right = days.last.bounding_box()
    grid = desk.page.locator(".scroll").evaluate("e => [e.scrollWidth, e.clientWidth]")
    assert (days.count(), grid[0]) == (7, grid[1])
    assert right["x"] + right["width"] <= width


A4_WIDTH = 794 - 2 * 60  # of its 96 dots an inch, between the margins


def test_on_paper_the_desks_lists_show_what_is_known_and_not_what_can_be_pressed(
    person, front_desk, physiotherapist, today
):
    create_case(lead=physiotherapist, due_on=timezone.localdate())
    desk = person(front_desk)
    desk.page.emulate_media(media="print")
    printed = {}
    for page in ("/", "/due/", "/book/", "/book/week/"):
        desk.page.set_viewport_size({"width": A4_WIDTH, "height": 1000})
        desk.open(page)
        printed[page] = desk.reads()
        assert desk.page.evaluate(
            "() => [...document.querySelectorAll('table')].every(one => one.offsetWidth <= innerWidth)"
        ), page

    assert str(today.patient) in printed["/"]
    assert str(today.patient) in printed["/book/"]
    words = ("Arrived", "Mark", "Note a call", "Keys in the book", "A free time books it")
    assert [(page, one) for page in printed for one in words if one in printed[page]] == []


def test_on_paper_a_list_says_what_was_chosen_and_not_what_could_be(person, manager):
    boss = person(manager)
    boss.page.emulate_media(media="print")

    boss.open("/audit/?record=7")

    shown = boss.page.locator(".choices label:visible").all_inner_texts()
    assert [label.strip() for label in shown] == ["Record number"]
