"""A new clinic's manager sets it up by keyboard alone, from the command to an open book."""

import re

import pytest
from django.core.management import call_command

from clinic.management.commands.open_clinic import PASSWORD_VARIABLE
from clinic.models import Clinic, Invitation, OpeningHours, Staff
from tests.browser.keyboard import Keyboard
from tests.factories.clinic import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)

# Strokes beside what is typed, and signs that are typed. An average typist who is no
# secretary takes 0.28 s a stroke (Card, Moran and Newell 1983, from memory).
MOST_STROKES, MOST_SIGNS = 60, 140
SECONDS_A_STROKE, FIVE_MINUTES = 0.28, 300


class Counting(Keyboard):
    """Counts the signs of what is typed as well."""

    signs = 0

    def type(self, name: str, text: str) -> None:
        super().type(name, text)
        self.signs += len(text)


@pytest.fixture
def manager(db, monkeypatch):
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORD)
    call_command("open_clinic", name="Mooring Lane Physiotherapy", username="vera")
    return Staff.objects.get()


def state_of(page, step: str) -> str:
    row = page.get_by_role("row", name=re.compile(step))
    return row.get_by_role("cell").first.inner_text().strip()


def test_a_new_clinic_is_set_up_in_less_than_five_minutes(person, manager):
    vera = person(manager)
    keys, page = Counting(vera), vera.page
    page.wait_for_url(re.compile("/clinic/set-up/$"))
    assert "3 things are open" in vera.reads()

    keys.command("g", to="/clinic/")
    keys.type("address", "1 Mooring Lane\nHarwick")
    keys.type("phone", "01632 960300")
    keys.type("emergency_phone", "112")
    keys.type("time_zone", "Lisbon")
    keys.command("s", to="/clinic/set-up/")
    keys.command("g", to="/clinic/hours/")
    keys.type("0-0-opens", "0800AM")
    keys.type("0-0-closes", "0600PM")
    keys.command("s", to="/clinic/set-up/")
    keys.command("g", to="/staff/invite/")
    keys.type("first_name", "Ines")
    keys.type("last_name", "Quartel")
    keys.choose("role", "physiotherapist")
    keys.command("s", to=r"/staff/invitations/\d+/")
    keys.command("g", to="/clinic/set-up/")
    assert "patients can be booked" in vera.reads()
    keys.command("s", to=":\\d+/")

    clinic = Clinic.objects.get()
    assert (clinic.time_zone, clinic.address) == ("Europe/Lisbon", "1 Mooring Lane\nHarwick")
    assert [str(hours) for hours in OpeningHours.objects.all()] == [
        f"{day} 08:00–18:00" for day in ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday")
    ]
    assert str(Invitation.objects.get()) == "Ines Quartel"
    assert not clinic.being_set_up
    assert keys.strokes <= MOST_STROKES
    assert keys.signs <= MOST_SIGNS
    assert (keys.strokes + keys.signs) * SECONDS_A_STROKE < FIVE_MINUTES


def test_it_is_put_away_with_things_open_and_found_again(person, manager):
    vera = person(manager)
    vera.page.wait_for_url(re.compile("/clinic/set-up/$"))
    vera.press("Put this page away", to=":\\d+/")

    vera.open("/")
    assert "Nobody is booked today" in vera.reads()
    vera.open("/clinic/")
    vera.press("Setting up", to="/clinic/set-up/")
    assert state_of(vera.page, "^Opening hours") == "open"
