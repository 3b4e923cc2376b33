"""Who is signed in where: Django's session, which knows whose it is, and when it ends."""

import datetime
import hashlib
from typing import Self

from django.contrib.sessions.base_session import AbstractBaseSession, BaseSessionManager
from django.db import DatabaseError, models, transaction
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.models.clinic import Clinic
from clinic.models.staff import Staff

TOUCHED_EVERY = datetime.timedelta(minutes=1)  # not with each page: a page that reads takes no lock


class OpenSessionQuerySet(models.QuerySet):
    def of(self, staff: Staff) -> Self:
        return self.filter(staff=staff)

    def over(self, clinic: Clinic, *, now: datetime.datetime) -> Self:
        """Those that have ended and that nobody has come back to."""
        idle, longest = limits(clinic)
        return self.filter(
            models.Q(seen_at__lte=now - idle) | models.Q(began_at__lte=now - longest)
        )

    def live(self, clinic: Clinic, *, now: datetime.datetime) -> Self:
        idle, longest = limits(clinic)
        return self.filter(seen_at__gt=now - idle, began_at__gt=now - longest)

    def but(self, key: str) -> Self:
        """All the others."""
        return self.exclude(pk=key)

    def marked(self, mark: str) -> list["OpenSession"]:
        return [row for row in self if row.mark == mark]


def limits(clinic: Clinic) -> tuple[datetime.timedelta, datetime.timedelta]:
    """How long a session lasts while nobody does anything, and how long at most."""
    return (
        datetime.timedelta(minutes=clinic.idle_minutes),
        datetime.timedelta(hours=clinic.session_hours),
    )


class OpenSession(AbstractBaseSession):
    """One person signed in at one browser; nobody's before signing in."""

    staff = models.ForeignKey(
        Staff,
        null=True,
        on_delete=models.CASCADE,
        related_name="sessions",
        verbose_name=_("who"),
    )
    began_at = models.DateTimeField(_("since"), default=timezone.now)
    seen_at = models.DateTimeField(_("last used"), default=timezone.now)
    address = models.CharField(_("from"), max_length=45, blank=True)
    browser = models.CharField(_("browser"), max_length=40, blank=True)

    objects = BaseSessionManager.from_queryset(OpenSessionQuerySet)()

    class Meta(AbstractBaseSession.Meta):
        abstract = False
        verbose_name = _("session")
        verbose_name_plural = _("sessions")

    @classmethod
    def get_session_store_class(cls):
        from clinic.sessions import SessionStore  # the store imports this model

        return SessionStore

    def save(self, *, force_update: bool = False, **how) -> None:
        """What a page keeps in its session moves no time: only `touch` does."""
        if force_update:
            how["update_fields"] = ["session_data", "staff", "address", "browser"]
        super().save(force_update=force_update, **how)

    @property
    def mark(self) -> str:
        """What a page may show of the key, which opens the session."""
        return hashlib.sha256(self.session_key.encode()).hexdigest()[:16]

    def ends_at(self, clinic: Clinic) -> datetime.datetime:
        idle, longest = limits(clinic)
        return min(self.seen_at + idle, self.began_at + longest)

    def is_at_its_longest(self, clinic: Clinic) -> bool:
        """Whether it ends at this time whatever is done."""
        return self.ends_at(clinic) == self.began_at + limits(clinic)[1]

    def touch(self, *, now: datetime.datetime) -> None:
        """Somebody is there. A database that can't be written to still shows its pages."""
        try:
            with transaction.atomic():
                type(self).objects.filter(pk=self.pk).update(seen_at=now)
        except DatabaseError:
            return
        self.seen_at = now
