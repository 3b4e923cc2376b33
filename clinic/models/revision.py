"""Whether a clinic's book has changed since somebody looked."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from clinic.models.clinic import Clinic


class BookRevisionQuerySet(models.QuerySet):
    def number_of(self, clinic: Clinic) -> int:
        """The revision of a clinic's book; it grows with each change and says nothing else."""
        return self.filter(clinic=clinic).values_list("number", flat=True).first() or 0


class BookRevision(models.Model):
    """Counts the changes of a clinic's book: bookings, opening hours, closed days, absences.

    The database counts (`clinic.revision.RaisesRevision`), so nothing is missed that goes past the models.
    """

    clinic = models.OneToOneField(
        Clinic, primary_key=True, on_delete=models.CASCADE, related_name="+"
    )
    number = models.PositiveBigIntegerField(default=0)

    objects = BookRevisionQuerySet.as_manager()

    class Meta:
        verbose_name = _("revision of the book")
        verbose_name_plural = _("revisions of the book")

    def __str__(self) -> str:
        return f"{self.clinic}: {self.number}"
