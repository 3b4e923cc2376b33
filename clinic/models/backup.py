"""What became of each backup, for whoever answers for there being one."""

import datetime

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from clinic.constraints import Sealed

# Made every night: after a day and two hours one is missing. Common practice, no source.
OVERDUE = datetime.timedelta(hours=26)


class BackupRunQuerySet(models.QuerySet):
    def newest_first(self):
        return self.order_by("-began_at", "-pk")

    def last_tried(self) -> "BackupRun | None":
        """The last backup that came back when it was tried out."""
        return self.filter(tried=True).newest_first().first()


class BackupRun(models.Model):
    """One run of the command, for all clinics of the database: a file, or why there is none."""

    began_at = models.DateTimeField(_("began"))
    ended_at = models.DateTimeField(_("ended"))
    name = models.CharField(_("file"), max_length=80, blank=True)
    size = models.PositiveBigIntegerField(_("bytes"), default=0)
    tried = models.BooleanField(_("restored once and equal in every value"), default=False)
    problem = models.TextField(_("why there is none"), blank=True)
    trail = models.TextField(_("how the audit trail does not hold"), blank=True)

    objects = BackupRunQuerySet.as_manager()

    class Meta:
        verbose_name = _("backup")
        verbose_name_plural = _("backups")
        constraints = [
            models.CheckConstraint(
                name="backup_has_a_file_or_a_problem",
                condition=Q(name="", problem__gt="", tried=False) | Q(name__gt="", problem=""),
            ),
            Sealed(name="backup_run_stays", by=""),
        ]

    def __str__(self) -> str:
        return self.name or self.problem

    def is_overdue(self, *, now: datetime.datetime) -> bool:
        return now - self.began_at > OVERDUE

    @property
    def enciphered(self) -> bool:
        return self.name.endswith(".aes")
