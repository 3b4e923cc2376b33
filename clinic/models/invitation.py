"""How somebody new comes onto the staff: by a link, behind which they choose their own password."""

import datetime
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from clinic.models.clinic import ClinicOwned, ClinicQuerySet
from clinic.models.staff import Staff
from clinic.roles import Role
from clinic.secret_links import digest, new_secret

OPEN_FOR = datetime.timedelta(days=7)  # common practice, no source


class InvitationQuerySet(ClinicQuerySet):
    def pending(self) -> Self:
        """Neither taken nor taken back; it may be too old to open."""
        return self.filter(accepted_at=None, revoked_at=None)

    def opened_by(self, mark: str, *, now: datetime.datetime) -> Self:
        """The one whose secret has this digest, if it still opens."""
        return self.pending().filter(digest=mark, expires_at__gt=now).select_related("clinic")

    def outdated(self, *, before: datetime.datetime) -> Self:
        """Those that have opened nothing since, whatever became of them."""
        return self.filter(expires_at__lt=before)

    def newest_first(self) -> Self:
        return self.select_related("invited_by").order_by("-pk")


class Invitation(ClinicOwned):
    """One person asked to join the staff; the link in their hands opens once, for a week."""

    # Named as a person of the staff names them.
    first_name = models.CharField(_("given name"), max_length=150, blank=True)
    last_name = models.CharField(_("family name"), max_length=150)
    email = models.EmailField(_("e-mail"), blank=True)
    role = models.CharField(_("role"), max_length=20, choices=Staff.RoleChoice)
    treats = models.BooleanField(_("sees patients"), default=False)
    registration_number = models.CharField(_("registration number"), max_length=40, blank=True)
    digest = models.CharField(_("SHA-256"), max_length=64, unique=True, editable=False)
    invited_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", editable=False, verbose_name=_("by")
    )
    expires_at = models.DateTimeField(_("open until"), editable=False)
    accepted_at = models.DateTimeField(_("taken"), null=True, editable=False)
    revoked_at = models.DateTimeField(_("taken back"), null=True, editable=False)

    objects = InvitationQuerySet.as_manager()

    class Meta:
        verbose_name = _("invitation")
        verbose_name_plural = _("invitations")
        indexes = [models.Index(name="invitation_by_clinic", fields=["clinic", "-id"])]
        constraints = [
            models.CheckConstraint(
                name="invitation_role_known",
                condition=Q(role__in=[role.value for role in Role]),
                violation_error_message=_("Choose one of the roles."),
            ),
            models.CheckConstraint(
                name="invitation_front_desk_never_treats",
                condition=~Q(role=Role.FRONT_DESK.value, treats=True),
                violation_error_message=_("Front desk can't be booked as a practitioner."),
            ),
            models.CheckConstraint(
                name="invitation_physiotherapist_treats",
                condition=~Q(role=Role.PHYSIOTHERAPIST.value, treats=False),
                violation_error_message=_("A physiotherapist sees patients."),
            ),
            models.CheckConstraint(
                name="invitation_taken_or_taken_back",
                condition=Q(accepted_at=None) | Q(revoked_at=None),
                violation_error_message=_("This invitation has been answered."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.first_name} {self.last_name}".strip()

    def renew(self, *, now: datetime.datetime) -> str:
        """Save with a new secret, which is returned this once; an earlier link opens nothing any more."""
        secret = new_secret()
        self.digest, self.expires_at = digest(secret), now + OPEN_FOR
        self.save()
        return secret

    def revoke(self, *, now: datetime.datetime) -> None:
        self.revoked_at = now
        self.save(update_fields=["revoked_at"])

    def as_staff(self) -> Staff:
        """The account that it will make, without name for signing in and password."""
        told = (
            "clinic",
            "first_name",
            "last_name",
            "email",
            "role",
            "treats",
            "registration_number",
        )
        return Staff(**{name: getattr(self, name) for name in told})

    def accept(self, staff: Staff, *, now: datetime.datetime) -> None:
        """Keep the account, to which its owner has given a name and a password; the link is used up."""
        staff.save()
        self.accepted_at = now
        self.save(update_fields=["accepted_at"])
