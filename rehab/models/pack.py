"""The packs of a day: what is printed for many patients at once, made ready one patient after the other.

What is ready stands in the database, so that any web process can make the next pack, and a run that somebody
has left goes on when its page is opened again.
"""

import datetime
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Self

from django.db import models, transaction
from django.db.models import Count, Q
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from cases.models import Patient
from clinic.constraints import Sealed
from clinic.models import ClinicOwned, ClinicQuerySet, Staff
from rehab.models.handout import Handout

if TYPE_CHECKING:
    from rehab.sheets import Sheet

Kinds = Iterable[Handout.Kind]


class PackRunQuerySet(ClinicQuerySet):
    def counted(self) -> Self:
        """With the number of packs in `total`, and of those made ready in `ready`."""
        made = Count("packs", filter=Q(packs__prepared_at__isnull=False))
        return self.select_related("made_by").annotate(total=Count("packs"), ready=made)

    def of_day(self, day: datetime.date) -> Self:
        return self.filter(day=day).order_by("-pk")

    @transaction.atomic
    def begin(
        self,
        packs: Sequence[tuple[Patient, Kinds]],
        *,
        day: datetime.date,
        two_sided: bool,
        by: Staff,
    ) -> "PackRun":
        """Note whose packs are asked for, in this order, and which sheets each may hold; none is set yet."""
        run = self.create(clinic=by.clinic, day=day, two_sided=two_sided, made_by=by)
        Pack.objects.bulk_create(
            Pack(clinic=by.clinic, run=run, patient=patient, position=place, kinds=list(kinds))
            for place, (patient, kinds) in enumerate(packs, start=1)
        )
        return run


class PackRun(ClinicOwned):
    """The packs of one day that somebody asked for at once."""

    day = models.DateField(_("day"))
    two_sided = models.BooleanField(_("two-sided"), default=True)
    made_at = models.DateTimeField(_("asked for"), default=timezone.now)
    made_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("asked for by")
    )

    objects = PackRunQuerySet.as_manager()

    class Meta:
        verbose_name = _("run of packs")
        verbose_name_plural = _("runs of packs")
        indexes = [models.Index(name="pack_run_of_day", fields=["clinic", "day"])]
        constraints = [Sealed(name="pack_run_stays", by="")]

    def __str__(self) -> str:
        return f"Packs of {self.day:%Y-%m-%d}"

    @property
    def next_pack(self) -> "Pack | None":
        return self.packs.waiting().select_related("patient").order_by("position").first()

    @property
    def is_ready(self) -> bool:
        return not self.packs.waiting().exists()

    def stop(self) -> int:
        """Take out the packs that are not made yet; what is ready stays. Returns how many were taken out."""
        return self.packs.waiting().delete()[0]

    @cached_property
    def sheets(self) -> int:
        """How many sheets are in the packs that are ready."""
        return Handout.objects.filter(packs__run=self).count()

    @cached_property
    def left_out(self) -> list["Pack"]:
        """The packs that lack a sheet which could not be printed."""
        return [pack for pack in self.packs.in_order() if pack.left_out]


class PackQuerySet(ClinicQuerySet):
    def waiting(self) -> Self:
        return self.filter(prepared_at__isnull=True)

    def in_order(self) -> Self:
        return self.select_related("patient").order_by("position")

    def with_sheets(self) -> Self:
        return self.in_order().prefetch_related("handouts")


class Pack(ClinicOwned):
    """What one patient gets: the sheets that could be printed, and those that could not, with the reason."""

    belongs_to = "run"

    run = models.ForeignKey(PackRun, on_delete=models.PROTECT, related_name="packs")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    position = models.PositiveSmallIntegerField(_("position"))
    kinds = models.JSONField(_("sheets asked for"))
    handouts = models.ManyToManyField(Handout, related_name="packs")
    left_out = models.JSONField(_("left out"), default=list, help_text=_("Which, and why."))
    prepared_at = models.DateTimeField(_("ready"), null=True, blank=True)

    objects = PackQuerySet.as_manager()

    class Meta:
        verbose_name = _("pack")
        verbose_name_plural = _("packs")
        constraints = [
            models.UniqueConstraint(name="pack_once_a_patient", fields=["run", "patient"]),
            models.UniqueConstraint(name="pack_position_once", fields=["run", "position"]),
            Sealed(name="pack_ready_stays", by="prepared_at", erased_with="patient"),
        ]

    def __str__(self) -> str:
        return f"{self.patient}, {self.run}"

    @transaction.atomic
    def put_in(
        self,
        sheets: Iterable["Sheet"],
        *,
        left_out: list[dict[str, str]],
        by: Staff,
        at: datetime.datetime,
    ) -> bool:
        """Hand out these sheets as the pack; False when somebody else has made it or the run was stopped."""
        row = Pack.objects.waiting().select_for_update(of=("self",)).filter(pk=self.pk).first()
        if row is None:
            return False
        row.handouts.set([sheet.hand_out(by=by, run=self.run_id) for sheet in sheets])
        row.left_out, row.prepared_at = left_out, at
        row.save(update_fields=["left_out", "prepared_at"])
        return True

    @property
    def in_print_order(self) -> list[Handout]:
        """The sheets in the order in which they were put in."""
        return sorted(self.handouts.all(), key=lambda handout: handout.pk)
