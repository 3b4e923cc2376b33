"""The trail of who did what; it only grows."""

import datetime
from collections.abc import Iterable
from functools import cache
from typing import Self

from django.apps import apps
from django.db import connection, models
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from clinic.chain import Chained
from clinic.constraints import Sealed
from clinic.models.clinic import ClinicOwned, ClinicQuerySet
from clinic.models.staff import Staff

# Each step finds the next value by the index, which leaves nulls out; else a million rows would be read.
LEAPS = """
{column}_found(value) AS (
  SELECT MIN({column}) FROM clinic_auditevent WHERE clinic_id = %s AND {column} IS NOT NULL
  UNION ALL
  SELECT (SELECT MIN({column}) FROM clinic_auditevent WHERE clinic_id = %s AND {column} > value)
  FROM {column}_found WHERE value IS NOT NULL
)"""
VERBS_AND_PAGES = """
WITH RECURSIVE {verbs}, {pages}
SELECT 'verb', value FROM verb_found WHERE value IS NOT NULL
UNION ALL SELECT 'page', value FROM page_found WHERE value IS NOT NULL
ORDER BY 2
"""


class AuditEventQuerySet(ClinicQuerySet):
    def by(self, actor: Staff) -> Self:
        return self.filter(actor=actor)

    def since(self, moment: datetime.datetime) -> Self:
        return self.filter(at__gte=moment)

    def before(self, moment: datetime.datetime) -> Self:
        return self.filter(at__lt=moment)

    def that(self, verb: str) -> Self:
        return self.filter(verb=verb)

    def on_page(self, page: str) -> Self:
        return self.filter(page=page)

    def numbered(self, number: int) -> "AuditEvent | None":
        return self.filter(pk=number).first()

    def about(self, patient: int) -> Self:
        return self.filter(patient_key=patient)

    def in_request(self, reference: str) -> Self:
        return self.exclude(request="").filter(request=reference)  # the first as the index says it

    def concerning(self, patient: int, older: Iterable[int]) -> Self:
        """What names the patient, and those `older` events that named a row alone."""
        return (
            self.filter(Q(patient_key=patient) | Q(pk__in=older)) if older else self.about(patient)
        )

    def verbs_and_pages(self, clinic: int) -> tuple[list[str], list[str]]:
        """What a clinic's trail has of each, by leaps through the index: however long it is."""
        with connection.cursor() as cursor:
            verbs, pages = (LEAPS.format(column=column) for column in ("verb", "page"))
            told = VERBS_AND_PAGES.format(verbs=verbs, pages=pages)
            cursor.execute(told, [clinic] * told.count("%s"))
            found = cursor.fetchall()
        return tuple([value for of, value in found if of == kind] for kind in ("verb", "page"))

    def newest_first(self) -> Self:
        return self.order_by("-at", "-pk")

    def older_than(self, event: "AuditEvent") -> Self:
        """What comes after an event in the order of `newest_first`."""
        return self.filter(at__lte=event.at).exclude(at=event.at, pk__gte=event.pk)

    def newer_than(self, event: "AuditEvent") -> Self:
        return self.filter(at__gte=event.at).exclude(at=event.at, pk__lte=event.pk)


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
    # Null in events from before there were these columns: the chain's digests leave nulls out.
    page = models.CharField(_("page"), max_length=60, null=True)  # noqa: DJ001
    # No foreign key: the event stays when the patient's record is erased.
    patient_key = models.BigIntegerField(_("number of the patient's row"), null=True)

    objects = AuditEventQuerySet.as_manager()

    class Meta:
        verbose_name = _("audit event")
        verbose_name_plural = _("audit events")
        # In the order in which the trail is read, for each choice that it can be narrowed by.
        indexes = [
            models.Index(name="audit_by_time", fields=["clinic", "-at", "-id"]),
            models.Index(name="audit_by_actor", fields=["actor", "-at", "-id"]),
            models.Index(name="audit_by_verb", fields=["clinic", "verb", "-at", "-id"]),
            models.Index(
                name="audit_by_page",
                fields=["clinic", "page", "-at", "-id"],
                condition=Q(page__isnull=False),
            ),
            models.Index(
                name="audit_by_patient",
                fields=["patient_key", "-at", "-id"],
                condition=Q(patient_key__isnull=False),
            ),
            models.Index(
                name="audit_by_request",
                fields=["clinic", "request", "-at", "-id"],
                condition=~Q(request=""),
            ),
            models.Index(name="audit_by_object", fields=["object_type", "object_id"]),
            # What names a row and not whose it is: looked through for each table that a record has.
            models.Index(
                name="audit_of_no_patient",
                fields=["clinic", "object_type", "object_id"],
                condition=Q(patient_key__isnull=True),
            ),
        ]
        constraints = [
            Sealed(name="audit_only_grows", by=""),
            Chained(name="audit_chained", link="event_id"),
        ]

    def __str__(self) -> str:
        return f"{self.actor} {self.verb} {self.object_type} {self.object_id}"

    @property
    def object_words(self) -> str:
        """What it was done to in words; a table that is there no more by the name that it had."""
        model = _tables().get(self.object_type)
        return str(model._meta.verbose_name) if model else self.object_type

    @property
    def page_words(self) -> str:
        """The page by its name, in words; of older events what was written of it."""
        return words_of_page(self.page) if self.page else str(self.detail.get("page", ""))

    @property
    def detail_words(self) -> list[str]:
        """The detail without what `page_words` has said already, each name with its value in words."""
        told = {name: value for name, value in self.detail.items() if name != "page" or self.page}
        return [f"{name.replace('_', ' ')}: {_in_words(value)}" for name, value in told.items()]


@cache
def _tables() -> dict[str, type[models.Model]]:
    """Each table by the name that an event has of it."""
    return {model._meta.model_name: model for model in apps.get_models()}


def words_of_page(page: str) -> str:
    """The name of an address as words: `rehab:visit_record` is the visit record."""
    return page.rpartition(":")[2].replace("_", " ")


def _in_words(value: object) -> str:
    if isinstance(value, bool):
        return gettext("yes") if value else gettext("no")
    if isinstance(value, list):
        return ", ".join(str(one).replace("_", " ") for one in value)
    return str(value)
