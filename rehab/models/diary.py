"""What the patient wrote down at home."""

import datetime
from typing import Self

from django.db import models
from django.db.models import Max, Q
from django.utils.translation import gettext_lazy as _

from cases.models import Case
from cases.models.intake import pain_check
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet
from rehab.clinical import sessions
from rehab.models.program import Program


class DiaryDayQuerySet(ClinicQuerySet):
    def of_case(self, case: Case) -> Self:
        return self.filter(case=case).order_by("on")

    def dates_of(self, case: Case) -> list[datetime.date]:
        """The days that are written down, and nothing of what they say."""
        return list(self.filter(case=case).values_list("on", flat=True))

    def newest_of(self, case: Case) -> datetime.date | None:
        """The last day that is written down."""
        return self.filter(case=case).aggregate(newest=Max("on"))["newest"]

    def since(self, day: datetime.date) -> Self:
        return self.filter(on__gte=day)


class DiaryDay(ClinicOwned):
    """One day: the sets done, the worst pain during them, the pain next morning, times woken at night."""

    belongs_to = "case"

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="diary_days")
    program = models.ForeignKey(Program, on_delete=models.PROTECT, related_name="diary_days")
    on = models.DateField(_("day"))
    sets_done = models.PositiveSmallIntegerField(_("sets done"))
    last_set_repetitions = models.PositiveSmallIntegerField(
        _("repetitions in the last set"), null=True, blank=True
    )
    load_kg = models.FloatField(_("load, kg"), null=True, blank=True)
    hold_s = models.PositiveSmallIntegerField(_("hold, s"), null=True, blank=True)
    worst_pain = models.SmallIntegerField(_("worst pain during"), null=True, blank=True)
    next_morning_pain = models.SmallIntegerField(_("pain next morning"), null=True, blank=True)
    night_wakings = models.SmallIntegerField(_("woken at night"), null=True, blank=True)
    sharp_or_locking = models.BooleanField(_("sharp pain or locking"), default=False)
    remark = models.CharField(_("remark"), max_length=500, blank=True)

    objects = DiaryDayQuerySet.as_manager()

    class Meta:
        verbose_name = _("diary day")
        verbose_name_plural = _("diary days")
        constraints = [
            models.UniqueConstraint(
                name="diary_one_row_a_day",
                fields=["case", "on"],
                violation_error_message=_("This day is written down already."),
            ),
            pain_check("diary_worst_pain_0_to_10", "worst_pain"),
            pain_check("diary_morning_pain_0_to_10", "next_morning_pain"),
            models.CheckConstraint(
                name="diary_wakings_0_to_20",
                condition=Q(night_wakings__isnull=True) | Q(night_wakings__range=(0, 20)),
                violation_error_message=_("Enter how often the elbow woke the patient, 0–20."),
            ),
            models.CheckConstraint(
                name="diary_sets_0_to_20",
                condition=Q(sets_done__range=(0, 20)),
                violation_error_message=_("Enter 0 to 20 sets."),
            ),
            Journaled(name="diary_day_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.case}, {self.on}"

    def given(self) -> sessions.DiaryDay:
        """The day, as the rules take it."""
        return sessions.DiaryDay(
            on=self.on,
            sets_done=self.sets_done,
            last_set_repetitions=self.last_set_repetitions,
            load_kg=self.load_kg,
            hold_s=self.hold_s,
            worst_pain=self.worst_pain,
            next_morning_pain=self.next_morning_pain,
            night_wakings=self.night_wakings,
            sharp_or_locking=self.sharp_or_locking,
        )
