"""The first clinic of a new installation."""

import io

import pytest
from django.core.management import CommandError, call_command

from clinic.management.commands import open_clinic as command
from clinic.models import Clinic, Staff
from tests.factories.clinic import create_clinic

GOOD = "a heron stands in the reeds"


def open_clinic(monkeypatch, *, password=GOOD, **changes):
    monkeypatch.setenv(command.PASSWORD_VARIABLE, password)
    options = {
        "name": "Mooring Lane Physiotherapy",
        "address": "1 Mooring Lane",
        "phone": "+44 1632 960300",
        "emergency_phone": "112",
        "time_zone": "Europe/Lisbon",
        "username": "vera",
    }
    out = io.StringIO()
    call_command("open_clinic", **(options | changes), stdout=out)
    return out.getvalue()


def refusal(monkeypatch, **changes):
    with pytest.raises(CommandError) as refused:
        open_clinic(monkeypatch, **changes)
    return str(refused.value)


def test_it_makes_a_clinic_and_a_manager_who_can_sign_in(db, client, monkeypatch):
    said = open_clinic(monkeypatch)

    manager = Staff.objects.get()
    assert (
        said
        == "Mooring Lane Physiotherapy is open. Sign in as vera: the page “Setting up” leads on.\n"
    )
    assert (manager.role, manager.treats, manager.clinic.time_zone) == (
        "manager",
        False,
        "Europe/Lisbon",
    )
    assert client.post("/sign-in/", {"username": "vera", "password": GOOD}).status_code == 302


def test_it_refuses_when_a_clinic_is_there(db, monkeypatch):
    create_clinic()

    assert refusal(monkeypatch) == "There is a clinic already; this makes only the first one."


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"time_zone": "Europe/Harbor"}, "time_zone: Europe/Harbor is not a time zone."),
        ({"name": ""}, "name: This field cannot be blank."),
        ({"username": "ve ra"}, "username: Enter a valid username. This value may contain only "
         "letters, numbers, and @/./+/-/_ characters."),
        ({"password": "short"}, "This password is too short. It must contain at least 15 characters."),
    ],
)  # fmt: skip
def test_it_makes_nothing_and_says_what_is_wrong(db, monkeypatch, changes, said):
    assert refusal(monkeypatch, **changes) == said
    assert Clinic.objects.count() == 0


def type_password(monkeypatch, *typed):
    answers = iter(typed)
    monkeypatch.setattr(command.getpass, "getpass", lambda prompt: next(answers))


def test_a_password_is_asked_for_when_the_variable_is_not_set(db, client, monkeypatch):
    type_password(monkeypatch, GOOD, GOOD)
    open_clinic(monkeypatch, password="")

    assert client.post("/sign-in/", {"username": "vera", "password": GOOD}).status_code == 302


def test_a_password_that_is_typed_differently_makes_nothing(db, monkeypatch):
    type_password(monkeypatch, GOOD, "another")

    said = refusal(monkeypatch, password="")

    assert (said, Clinic.objects.count()) == ("The two passwords differ. Nothing was made.", 0)
