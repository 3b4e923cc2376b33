"""The secret address under which an ordinary calendar app reads a practitioner's appointments."""

from typing import Self

from django.db import models, transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.secret_key import SecretKey, SecretKeyQuerySet
from clinic.journal import Journaled
from clinic.models import Clinic, Staff
from clinic.secret_links import digest, new_secret


class CalendarKeyQuerySet(SecretKeyQuerySet):
    def valid(self) -> Self:
        """Not taken back, and of somebody who still works at the clinic."""
        working = super().valid().filter(practitioner__is_active=True, practitioner__treats=True)
        return working.select_related("practitioner__clinic")

    def listed(self, clinic: Clinic) -> Self:
        return self.of(clinic).valid().order_by("practitioner__last_name", "practitioner_id")

    def held_by(self, staff: Staff) -> Self:
        return self.valid().filter(practitioner=staff)

    @transaction.atomic
    def give(self, staff: Staff) -> str:
        """Give the practitioner a new secret, which is shown once; an earlier one opens nothing any more."""
        Staff.objects.select_for_update(of=("self",), no_key=True).get(pk=staff.pk)
        self.filter(practitioner=staff, revoked_at=None).update(revoked_at=timezone.now())
        secret = new_secret()
        self.create(practitioner=staff, digest=digest(secret))
        return secret


class CalendarKey(SecretKey):
    """One secret of one practitioner; at most one opens their calendar."""

    belongs_to = "practitioner"

    practitioner = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="calendar_keys", verbose_name=_("whose")
    )

    objects = CalendarKeyQuerySet.as_manager()

    class Meta:
        verbose_name = _("calendar address")
        verbose_name_plural = _("calendar addresses")
        constraints = [
            models.UniqueConstraint(
                name="calendar_key_one_each",
                fields=["practitioner"],
                condition=Q(revoked_at=None),
                violation_error_message=_("There is one calendar address a person."),
            ),
            Journaled(name="calendar_key_journaled", without=("digest", "read_on")),
        ]

    def __str__(self) -> str:
        return str(self.practitioner)
