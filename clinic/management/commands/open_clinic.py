"""`manage.py open_clinic`: the first clinic of a new installation, and its manager."""

import getpass
import os

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from clinic.audit import record
from clinic.models import Clinic, Staff
from clinic.roles import Role

PASSWORD_VARIABLE = "CLINIC_MANAGER_PASSWORD"  # noqa: S105 # nosec B105 # the name of a variable
# What isn't said here is asked for on the page "Setting up".
LATER = ("address", "phone", "emergency_phone")
CLINIC_FIELDS = ("name", "address", "phone", "emergency_phone", "time_zone")


class Command(BaseCommand):
    help = (
        "Make the first clinic and its manager, who sets up the rest after signing in. "
        f"The password is asked for, or read from {PASSWORD_VARIABLE}."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("--name", required=True, help="as it is printed on paper")
        parser.add_argument("--address", default="")
        parser.add_argument("--phone", default="")
        parser.add_argument("--emergency-phone", default="", help="whom a patient calls")
        parser.add_argument("--time-zone", default="UTC", help="for example Europe/Lisbon")
        parser.add_argument("--username", required=True, help="the manager's name for signing in")
        parser.add_argument("--given-name", default="", help="of the manager")
        parser.add_argument("--family-name", default="", help="of the manager")
        parser.add_argument("--treats", action="store_true", help="the manager sees patients too")

    @transaction.atomic
    def handle(self, **options) -> None:
        if Clinic.objects.exists():
            raise CommandError("There is a clinic already; this makes only the first one.")
        clinic = Clinic(**{name: options[name] for name in CLINIC_FIELDS}, being_set_up=True)
        manager = Staff(
            clinic=clinic,
            username=options["username"],
            first_name=options["given_name"],
            last_name=options["family_name"],
            role=Role.MANAGER.value,
            treats=options["treats"],
        )
        password = os.environ.get(PASSWORD_VARIABLE) or asked_twice()
        check(clinic, manager, password)
        clinic.save()
        manager.clinic = clinic
        manager.set_password(password)
        manager.save()
        record(manager, "opened the clinic", clinic)
        self.stdout.write(
            f"{clinic} is open. Sign in as {manager.username}: the page “Setting up” leads on."
        )


def asked_twice() -> str:
    password = getpass.getpass("Password: ")
    if getpass.getpass("Once more: ") != password:
        raise CommandError("The two passwords differ. Nothing was made.")
    return password


def check(clinic: Clinic, manager: Staff, password: str) -> None:
    """Raise CommandError that says everything that is wrong."""
    problems = []
    for find in (
        lambda: clinic.clean_fields(exclude=[name for name in LATER if not getattr(clinic, name)]),
        lambda: manager.clean_fields(exclude=["clinic", "password"]),
        lambda: validate_password(password, manager),
    ):
        try:
            find()
        except ValidationError as wrong:
            problems += said(wrong)
    if problems:
        raise CommandError(" ".join(problems))


def said(wrong: ValidationError) -> list[str]:
    if not hasattr(wrong, "error_dict"):
        return wrong.messages
    return [f"{field}: {' '.join(texts)}" for field, texts in wrong.message_dict.items()]
