"""What was written, before and after, and the chain that holds the audit trail together."""

from collections.abc import Iterable
from typing import Self

from django.db import models
from django.db.models import OuterRef, Q
from django.utils.translation import gettext_lazy as _

from clinic.chain import Chained, Numbered
from clinic.constraints import Sealed
from clinic.journal import OnlyEmptied
from clinic.models.clinic import Clinic, ClinicOwned, ClinicQuerySet
from clinic.models.staff import Staff


class ChangeQuerySet(ClinicQuerySet):
    def of_rows(self, model: type[models.Model], numbers: Iterable[int]) -> Self:
        """What happened to rows of one table, be they still there or not."""
        return self.filter(table_name=model._meta.db_table, row_id__in=numbers)

    def of_event(self, event: models.Model) -> Self:
        """What was written in the request of an audit event, in its order."""
        return self._in_a_request().filter(request=event.request).order_by("pk")

    def of_each_event(self) -> Self:
        """What was written in the request of each audit event of the query around this one."""
        same = {"clinic": OuterRef("clinic"), "request": OuterRef("request")}
        return self._in_a_request().filter(**same)

    def _in_a_request(self) -> Self:
        return self.exclude(request="")  # as the index says it, which SQLite wants word for word

    def empty(self) -> int:
        """Take the columns out for good, as erasing a person's data asks; who, when and what kind stays."""
        return self.exclude(before=None, after=None).update(before=None, after=None)


class Change(ClinicOwned):
    """One row of a table that was added, changed or removed; the database writes it (`clinic.journal`)."""

    class Kind(models.TextChoices):
        ADDED = "added", _("added")
        CHANGED = "changed", _("changed")
        REMOVED = "removed", _("removed")

    clinic = models.ForeignKey(
        Clinic,
        on_delete=models.PROTECT,
        related_name="+",
        editable=False,
        db_index=False,
        verbose_name=_("clinic"),
    )
    at = models.DateTimeField(_("at"))
    actor = models.ForeignKey(
        Staff,
        null=True,
        on_delete=models.PROTECT,
        related_name="+",
        db_index=False,
        verbose_name=_("who"),
    )
    request = models.CharField(_("request"), max_length=16, blank=True)
    table_name = models.CharField(_("table"), max_length=63)
    row_id = models.BigIntegerField(_("number"))
    kind = models.CharField(_("what"), max_length=7, choices=Kind)
    before = models.JSONField(_("before"), null=True)
    after = models.JSONField(_("after"), null=True)

    objects = ChangeQuerySet.as_manager()

    class Meta:
        verbose_name = _("change")
        verbose_name_plural = _("changes")
        indexes = [
            models.Index(name="change_by_row", fields=["table_name", "row_id"]),
            models.Index(
                name="change_by_request", fields=["clinic", "request"], condition=~Q(request="")
            ),
        ]
        constraints = [
            Sealed(name="change_stays", by="", may_change=("before", "after")),
            OnlyEmptied(name="change_only_emptied", columns=("before", "after")),
            Chained(name="change_chained", link="change_id"),
        ]

    def __str__(self) -> str:
        return f"{self.table_name} {self.row_id} {self.kind}"


class LinkQuerySet(ClinicQuerySet):
    def head(self, clinic: Clinic | int) -> "Link | None":
        """The last link of a clinic's chain."""
        return self.of(clinic).filter(number__isnull=False).order_by("-number").first()


class Link(ClinicOwned):
    """One link of a clinic's chain, of an event or a change; the database writes it (`clinic.chain`).

    It has no foreign keys in the database: a commit that holds the chain's lock may look at nobody's rows,
    and `clinic.chain_check` finds what is missing.
    """

    clinic = models.ForeignKey(
        Clinic,
        on_delete=models.PROTECT,
        related_name="+",
        editable=False,
        db_constraint=False,
        db_index=False,
        verbose_name=_("clinic"),
    )
    # Null until a commit on PostgreSQL is through.
    number = models.BigIntegerField(_("number"), null=True)
    event = models.ForeignKey(
        "clinic.AuditEvent",
        null=True,
        on_delete=models.PROTECT,
        related_name="+",
        db_constraint=False,
        db_index=False,
    )
    change = models.ForeignKey(
        Change,
        null=True,
        on_delete=models.PROTECT,
        related_name="+",
        db_constraint=False,
        db_index=False,
    )
    content = models.CharField(max_length=64)
    digest = models.CharField(max_length=64, blank=True)

    objects = LinkQuerySet.as_manager()

    class Meta:
        verbose_name = _("link")
        verbose_name_plural = _("links")
        constraints = [
            models.UniqueConstraint(name="link_number_once", fields=["clinic", "number"]),
            Sealed(name="link_stays", by="number"),
            Numbered(name="link_numbered"),
        ]

    def __str__(self) -> str:
        return f"{self.number}:{self.digest}"
