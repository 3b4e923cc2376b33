"""The secret address under which a screen on the wall reads today's book and who is due."""

import datetime
from typing import Self

from django.db import models
from django.db.models import Case, F, Q, Value, When
from django.utils.translation import gettext_lazy as _

from cases.models.secret_key import SecretKey, SecretKeyQuerySet
from clinic.journal import Journaled
from clinic.models import Clinic
from clinic.secret_links import digest, new_secret

# A screen that asks every few seconds is served; more is a program gone wild. Our own choice.
READS_A_MINUTE = 30


class DisplayKeyQuerySet(SecretKeyQuerySet):
    def listed(self, clinic: Clinic) -> Self:
        return self.of(clinic).valid().order_by("name", "pk")

    def called(self, name: str) -> bool:
        return self.filter(name=name).exists()

    def opened_by(self, secret: str) -> Self:
        return super().opened_by(secret).select_related("clinic")

    def give(self, clinic: Clinic, *, name: str) -> tuple["DisplayKey", str]:
        """Make a key for a screen, with its secret."""
        secret = new_secret()
        return self.create(clinic=clinic, name=name, digest=digest(secret)), secret


class DisplayKey(SecretKey):
    """One secret for one screen, known by where it hangs."""

    name = models.CharField(_("where it hangs"), max_length=60)
    minute = models.PositiveBigIntegerField(default=0, editable=False)
    reads = models.PositiveSmallIntegerField(default=0, editable=False)

    objects = DisplayKeyQuerySet.as_manager()

    class Meta:
        verbose_name = _("wall display")
        verbose_name_plural = _("wall displays")
        constraints = [
            models.UniqueConstraint(
                name="display_key_one_a_place",
                fields=["clinic", "name"],
                condition=Q(revoked_at=None),
                violation_error_message=_("A screen of this name has an address already."),
            ),
            models.CheckConstraint(
                name="display_key_named",
                condition=~Q(name=""),
                violation_error_message=_("Say where the screen hangs."),
            ),
            Journaled(
                name="display_key_journaled", without=("digest", "read_on", "minute", "reads")
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def may_read(self, *, now: datetime.datetime) -> bool:
        """Count one reading; False when the minute has had its READS_A_MINUTE, in whatever process."""
        minute = int(now.timestamp()) // 60
        rows = DisplayKey.objects.filter(pk=self.pk)
        again = Case(When(minute=minute, then=F("reads") + 1), default=Value(1))
        full = Q(minute=minute, reads__gte=READS_A_MINUTE)
        return bool(rows.exclude(full).update(minute=minute, reads=again))
