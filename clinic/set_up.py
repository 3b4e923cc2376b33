"""What a new clinic still needs before its first patient comes, by what the database holds."""

from dataclasses import dataclass

from django.conf import settings
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clinic.models import BackupRun, Clinic, Invitation, OpeningHours, Staff
from clinic.roles import Role


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing to set up, where that is done, and whether it is."""

    title: str | Promise
    why: str | Promise
    page: str
    done: bool


def needed(clinic: Clinic) -> list[Step]:
    """What must be there before anybody can be booked and handed paper, in the order to do it."""
    return [
        Step(
            title=_("Name, address, phones, clock and paper"),
            why=_(
                "They stand on every sheet; times of the book are in the clinic's own time zone."
            ),
            page="clinic:clinic",
            done=clinic.can_be_reached,
        ),
        Step(
            title=_("Opening hours"),
            why=_("Outside of them nobody can be booked."),
            page="cases:hours",
            done=OpeningHours.objects.of(clinic).exists(),
        ),
        Step(
            title=_("Somebody who sees patients"),
            why=_("Invite each physiotherapist: you get a link to pass on."),
            page="clinic:invite",
            done=_somebody_treats(clinic),
        ),
    ]


def useful(clinic: Clinic) -> list[Step]:
    """What a clinic does well to have, and can open without."""
    last = BackupRun.objects.last_tried()
    return [
        Step(
            title=_("Front desk"),
            why=_("Invite whoever books, prints and calls."),
            page="clinic:invite",
            done=_somebody_is(Role.FRONT_DESK, clinic),
        ),
        Step(
            title=_("Backup every night"),
            why=_("Whoever looks after the server sets it up: “Backup” in the README."),
            page="clinic:backups",
            done=last is not None and not last.is_overdue(now=timezone.now()),
        ),
        Step(
            title=_("E-mail to patients"),
            why=_("Whoever looks after the server names a mail server: “Run it for real” in the README."),
            page="cases:mail_texts",
            done=settings.SENDS_EMAIL,
        ),
    ]  # fmt: skip


def comes_first(user: Staff) -> bool:
    """Whether setting up is what this person should see in place of the day."""
    clinic = user.clinic
    return clinic.being_set_up and user.may_manage and not all(step.done for step in needed(clinic))


def way_back(clinic: Clinic, *, otherwise: str) -> str:
    """The page to show after a part of the clinic was saved."""
    return "clinic:set_up" if clinic.being_set_up else otherwise


def _somebody_treats(clinic: Clinic) -> bool:
    invited = Invitation.objects.of(clinic).pending()
    return Staff.objects.of(clinic).who_treat().exists() or invited.filter(treats=True).exists()


def _somebody_is(role: Role, clinic: Clinic) -> bool:
    rows = (Staff.objects.of(clinic), Invitation.objects.of(clinic).pending())
    return any(row.filter(role=role.value).exists() for row in rows)
