"""Forms that came after their session had ended; they wait for the one who typed them."""

import datetime
from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.models.staff import Staff

KEPT = datetime.timedelta(days=7)  # over a weekend and a few days off
MOST = 20  # of one person
LONGEST = 200_000  # characters
TITLE = 120


class HeldFormQuerySet(models.QuerySet):
    def of(self, staff: Staff | int) -> Self:
        return self.filter(staff=staff, at__gt=timezone.now() - KEPT)

    def outdated(self) -> Self:
        """Those that nobody came back for."""
        return self.filter(at__lte=timezone.now() - KEPT)

    def hold(self, staff: int, path: str, text: str, *, title: str = "") -> None:
        """Keep what was typed for the form at `path`, in the place of what was kept of it before."""
        if len(text) > LONGEST or not Staff.objects.filter(pk=staff).exists():
            return
        kept = {"text": text, "title": title[:TITLE], "at": timezone.now()}
        self.update_or_create(staff_id=staff, path=path, defaults=kept)
        newest = self.of(staff).order_by("-at").values_list("pk", flat=True)[:MOST]
        self.filter(staff=staff).exclude(pk__in=list(newest)).delete()

    def give_back(self, staff: Staff, path: str) -> str | None:
        """What was typed, once."""
        held = self.of(staff).filter(path=path).first()
        if held:
            held.delete()
        return held and held.text


class HeldForm(models.Model):
    """What one person typed into one form that could not be saved any more."""

    staff = models.ForeignKey(
        Staff, on_delete=models.CASCADE, related_name="+", verbose_name=_("who")
    )
    path = models.CharField(_("form"), max_length=300)
    title = models.CharField(_("page"), max_length=TITLE, blank=True)
    text = models.TextField(_("what was typed"))
    at = models.DateTimeField(_("at"))

    objects = HeldFormQuerySet.as_manager()

    class Meta:
        verbose_name = _("held form")
        verbose_name_plural = _("held forms")
        constraints = [models.UniqueConstraint(name="held_once", fields=["staff", "path"])]

    def __str__(self) -> str:
        return f"{self.path} {self.at:%Y-%m-%d %H:%M}"
