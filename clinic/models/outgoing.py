"""What waits to be sent as an e-mail to a member of staff: taken by one process, given back when it fails."""

import datetime
from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _


class OutgoingQuerySet(models.QuerySet):
    def waiting(self) -> Self:
        return self.filter(sent_at=None)

    def claim(self, pk: int, *, now: datetime.datetime) -> "Outgoing | None":
        """Take one that waits, so that no other process sends it too."""
        taken = self.waiting().filter(pk=pk).update(sent_at=now)
        return self.select_related("staff__clinic").get(pk=pk) if taken else None

    def outdated(self, *, before: datetime.datetime) -> Self:
        return self.filter(sent_at__lt=before)


class Outgoing(models.Model):
    """A row that is sent once."""

    sent_at = models.DateTimeField(_("sent"), null=True)

    class Meta:
        abstract = True

    def wait_again(self) -> None:
        """It could not be sent; the next round tries again."""
        self.sent_at = None
        self.save(update_fields=["sent_at"])
