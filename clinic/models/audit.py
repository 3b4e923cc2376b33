"""The trail of who did what; it only grows."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from clinic.chain import Chained
from clinic.constraints import Sealed
from clinic.models.clinic import ClinicOwned
from clinic.models.staff import Staff


class AuditEvent(ClinicOwned):
    """One thing that a person did to one object, at one time; written by `clinic.audit.record` alone."""

    at = models.DateTimeField(_("at"), auto_now_add=True)
    actor = models.ForeignKey(
        Staff, null=True, on_delete=models.PROTECT, related_name="+", verbose_name=_("who")
    )
    verb = models.CharField(_("did"), max_length=40)
    object_type = models.CharField(_("to what"), max_length=40)
    object_id = models.BigIntegerField(_("number"), null=True)
    detail = models.JSONField(_("detail"), default=dict)
    request = models.CharField(_("request"), max_length=16, blank=True)

    class Meta:
        verbose_name = _("audit event")
        verbose_name_plural = _("audit events")
        indexes = [
            models.Index(name="audit_by_clinic", fields=["clinic", "-id"]),
            models.Index(name="audit_by_object", fields=["object_type", "object_id"]),
        ]
        constraints = [
            Sealed(name="audit_only_grows", by=""),
            Chained(name="audit_chained", link="event_id"),
        ]

    def __str__(self) -> str:
        return f"{self.actor} {self.verb} {self.object_type} {self.object_id}"
