"""A secret address that shows some of the book to whoever has it; it can be taken back any day."""

import datetime
from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.models import ClinicOwned, ClinicQuerySet
from clinic.secret_links import digest


class SecretKeyQuerySet(ClinicQuerySet):
    def valid(self) -> Self:
        return self.filter(revoked_at=None)

    def opened_by(self, secret: str) -> Self:
        return self.valid().filter(digest=digest(secret))


class SecretKey(ClinicOwned):
    """One secret; only its digest is kept, so it is shown once."""

    digest = models.CharField(_("SHA-256"), max_length=64, unique=True, editable=False)
    created_at = models.DateTimeField(_("made"), default=timezone.now)
    revoked_at = models.DateTimeField(_("taken back"), null=True, blank=True)
    read_on = models.DateField(_("last read"), null=True, blank=True)

    class Meta:
        abstract = True

    def note_reading(self, *, on: datetime.date) -> None:
        """Keep the day of the last reading: one write a day, however often a program asks."""
        if self.read_on != on:
            self.read_on = on
            self.save(update_fields=["read_on"])

    def revoke(self) -> None:
        self.revoked_at = timezone.now()
        self.save(update_fields=["revoked_at"])
