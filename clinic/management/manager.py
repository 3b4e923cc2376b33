"""Which manager answers in the trail for what a command does."""

from argparse import ArgumentParser

from django.core.management.base import CommandError

from clinic.models import Clinic, Staff
from clinic.roles import Role


def ask_for_manager(parser: ArgumentParser) -> None:
    parser.add_argument("--clinic", required=True, help="its number or its name")
    parser.add_argument("--by", help="a manager's name for signing in; needed if there are several")


def manager_of(clinic: str, name: str | None) -> Staff:
    """Who answers for it in the trail: the manager of that name, or the only one of the clinic."""
    clinics = Clinic.objects.filter(**({"pk": clinic} if clinic.isdigit() else {"name": clinic}))
    managers = Staff.objects.filter(clinic__in=clinics, role=Role.MANAGER.value, is_active=True)
    found = list(managers.filter(username=name) if name else managers)
    if len(found) != 1:
        raise CommandError("Name a clinic by number or name, and with --by one of its managers.")
    return found[0]
