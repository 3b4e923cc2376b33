"""The people who sign in."""

from typing import Self

from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.db.models import F
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from clinic.journal import Journaled
from clinic.models.clinic import Clinic
from clinic.roles import Capability, Role, capabilities

# What the staff page can be sorted by.
COLUMNS = {"name": "last_name", "role": "role", "in": "last_login"}


class StaffQuerySet(models.QuerySet):
    def of(self, clinic: Clinic) -> Self:
        return self.filter(clinic=clinic, is_active=True)

    def ever_of(self, clinic: Clinic) -> Self:
        """Those whose account is closed too."""
        return self.filter(clinic=clinic)

    def sorted_by(self, wanted: str) -> Self:
        """In the order of a column of the staff page; those whose account is closed come last."""
        column = wanted.removeprefix("-")
        down = wanted.startswith("-") and column in COLUMNS
        first = COLUMNS.get(column, "last_name")
        order = F(first).desc(nulls_last=True) if down else F(first).asc(nulls_first=True)
        return self.order_by("-is_active", order, "last_name", "first_name", "pk")

    def managers(self) -> Self:
        return self.filter(role=Role.MANAGER.value)

    def called(self, name: str) -> "Staff | None":
        """Whose name for signing in this is."""
        return self.filter(username=name).first()

    def reached_at(self, email: str) -> Self:
        """Who has this e-mail address and an open account; one mailbox may be shared."""
        return self.filter(email__iexact=email, is_active=True) if email else self.none()

    def who_treat(self) -> Self:
        """The practitioners: physiotherapists, and managers who see patients."""
        return self.filter(treats=True).order_by("last_name", "first_name")


class StaffManager(UserManager.from_queryset(StaffQuerySet)):
    def get_queryset(self) -> StaffQuerySet:
        # Every page shows the clinic's name; one query brings the person and the clinic.
        return super().get_queryset().select_related("clinic")


class Staff(AbstractUser):
    """A member of one clinic's staff, with the role that says what they may do."""

    class RoleChoice(models.TextChoices):
        PHYSIOTHERAPIST = Role.PHYSIOTHERAPIST.value, _("physiotherapist")
        FRONT_DESK = Role.FRONT_DESK.value, _("front desk")
        MANAGER = Role.MANAGER.value, _("manager")

    clinic = models.ForeignKey(
        Clinic, on_delete=models.PROTECT, related_name="staff", verbose_name=_("clinic")
    )
    role = models.CharField(_("role"), max_length=20, choices=RoleChoice)
    treats = models.BooleanField(
        _("sees patients"),
        default=False,
        help_text=_("A manager who also treats may write clinical records and be booked."),
    )
    registration_number = models.CharField(
        _("registration number"),
        max_length=40,
        blank=True,
        help_text=_("Printed beside the signature of a visit."),
    )
    shows_hints = models.BooleanField(_("show hints"), default=True, db_default=True)
    opens_key_map = models.BooleanField(
        _("“?” shows the keys of a page"), default=True, db_default=True
    )

    REQUIRED_FIELDS = ["email", "clinic", "role"]
    objects = StaffManager()

    class Meta:
        verbose_name = _("member of staff")
        verbose_name_plural = _("staff")
        constraints = [
            models.CheckConstraint(
                name="staff_role_known",
                condition=models.Q(role__in=[role.value for role in Role]),
                violation_error_message=_("Choose one of the roles."),
            ),
            models.CheckConstraint(
                name="staff_front_desk_never_treats",
                condition=~models.Q(role=Role.FRONT_DESK.value, treats=True),
                violation_error_message=_("Front desk can't be booked as a practitioner."),
            ),
            models.CheckConstraint(
                name="staff_physiotherapist_treats",
                condition=~models.Q(role=Role.PHYSIOTHERAPIST.value, treats=False),
                violation_error_message=_("A physiotherapist sees patients."),
            ),
            Journaled(name="staff_journaled", without=("password", "last_login")),
        ]

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    def save(self, **kwargs) -> None:
        if self.role == Role.PHYSIOTHERAPIST:
            self.treats = True
        super().save(**kwargs)

    @cached_property
    def capabilities(self) -> frozenset[Capability]:
        return capabilities(Role(self.role), treats=self.treats)

    def close(self) -> None:
        """Nobody signs in with this account any more; whoever is signed in is out with the next request.

        The password goes too: sessions of today must not come back to life with the account.
        """
        self.is_active = False
        self.set_unusable_password()
        self.save(update_fields=["is_active", "password"])
        self.sessions.all().delete()

    def reopen(self) -> None:
        """Open the account again; it has no password until its owner chooses one."""
        self.is_active = True
        self.save(update_fields=["is_active"])

    @property
    def is_last_manager(self) -> bool:
        """Whether nobody else could manage the clinic; ask while the clinic's row is locked."""
        others = Staff.objects.of(self.clinic).managers().exclude(pk=self.pk)
        return self.is_active and self.role == Role.MANAGER and not others.exists()

    def may(self, needed: Capability) -> bool:
        return self.is_active and needed in self.capabilities

    @property
    def has_second_factor(self) -> bool:
        factor = getattr(self, "second_factor", None)
        return bool(factor and factor.confirmed_at)

    @property
    def needs_second_factor(self) -> bool:
        return self.may_manage and self.clinic.managers_need_code

    def live_sessions(self) -> models.QuerySet:
        """Where this person is signed in, the last used first."""
        live = self.sessions.live(self.clinic, now=timezone.now())
        return live.order_by("-seen_at") if self.is_active else live.none()

    @property
    def may_read_clinical(self) -> bool:
        return self.may(Capability.READ_CLINICAL)

    @property
    def may_write_clinical(self) -> bool:
        return self.may(Capability.WRITE_CLINICAL)

    @property
    def may_manage(self) -> bool:
        return self.may(Capability.MANAGE)
