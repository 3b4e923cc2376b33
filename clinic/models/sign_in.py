"""When who signed in from where, and when somebody tried in vain."""

import datetime
from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.models.clinic import Clinic
from clinic.models.staff import Staff

KEPT_FOR = datetime.timedelta(days=180)  # long enough to look back after a theft; no source
LONGEST_BROWSER = 40


class SignInQuerySet(models.QuerySet):
    def of(self, clinic: Clinic) -> Self:
        return self.filter(clinic=clinic)

    def by(self, staff: Staff) -> Self:
        return self.filter(staff=staff)

    def failed(self) -> Self:
        return self.exclude(outcome=SignIn.Outcome.IN)

    def newest_first(self) -> Self:
        return self.select_related("staff").order_by("-pk")

    def outdated(self, *, before: datetime.datetime) -> Self:
        return self.filter(at__lt=before)


class SignIn(models.Model):
    """One attempt to sign in that was looked at; while a name has to wait, none is."""

    class Outcome(models.TextChoices):
        IN = "in", _("signed in")
        PASSWORD = "password", _("wrong password")
        CODE = "code", _("wrong code")

    clinic = models.ForeignKey(
        Clinic, null=True, on_delete=models.CASCADE, related_name="+", verbose_name=_("clinic")
    )
    staff = models.ForeignKey(
        Staff, null=True, on_delete=models.CASCADE, related_name="sign_ins", verbose_name=_("who")
    )
    at = models.DateTimeField(_("at"), default=timezone.now)
    outcome = models.CharField(_("outcome"), max_length=10, choices=Outcome)
    address = models.GenericIPAddressField(_("from"), null=True)
    browser = models.CharField(_("browser"), max_length=LONGEST_BROWSER, blank=True)

    objects = SignInQuerySet.as_manager()

    class Meta:
        verbose_name = _("sign-in")
        verbose_name_plural = _("sign-ins")
        indexes = [
            models.Index(name="sign_in_by_clinic", fields=["clinic", "-id"]),
            models.Index(name="sign_in_by_staff", fields=["staff", "-id"]),
            models.Index(name="sign_in_by_time", fields=["at"]),
        ]

    def __str__(self) -> str:
        return f"{self.staff or _('a name that nobody has')}: {self.get_outcome_display()}"

    @property
    def succeeded(self) -> bool:
        return self.outcome == self.Outcome.IN
