"""Who has forgotten a password and asked for an e-mail about it."""

import datetime
from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from clinic.models.outgoing import Outgoing, OutgoingQuerySet
from clinic.models.staff import Staff

# Nobody's mailbox is filled by asking again and again.
AT_MOST_EVERY = datetime.timedelta(minutes=10)


class ResetRequestQuerySet(OutgoingQuerySet):
    def waiting(self) -> Self:
        return super().waiting().filter(staff__is_active=True)

    def ask(self, email: str, *, origin: str, now: datetime.datetime) -> None:
        """Note that whoever has this address, if anybody, wants an e-mail; `origin` is the site's own."""
        for staff in Staff.objects.reached_at(email):
            row, made = self.get_or_create(
                staff=staff, defaults={"asked_at": now, "origin": origin}
            )
            if not made and row.sent_at and row.sent_at <= now - AT_MOST_EVERY:
                row.asked_at, row.origin, row.sent_at = now, origin, None
                row.save()


class ResetRequest(Outgoing):
    """One person's wish for an e-mail with a link to choose a new password; the link itself is not kept."""

    staff = models.OneToOneField(
        Staff, on_delete=models.CASCADE, related_name="+", verbose_name=_("who")
    )
    asked_at = models.DateTimeField(_("asked"))
    origin = models.CharField(_("address of the site"), max_length=255)

    objects = ResetRequestQuerySet.as_manager()

    class Meta:
        verbose_name = _("request for a new password")
        verbose_name_plural = _("requests for a new password")

    def __str__(self) -> str:
        return str(self.staff)
