"""One dated round of provocation tests."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from cases.clinical import battery as rules
from cases.clinical.sides import Side
from cases.models.case import Case
from cases.models.intake import pain_check
from cases.models.visit import Visit
from clinic.constraints import Sealed
from clinic.models import ClinicOwned, ClinicQuerySet
from clinic.wording import gettext_noop

FINGERS = {
    2: gettext_noop("index finger"),
    3: gettext_noop("middle finger"),
    4: gettext_noop("ring finger"),
    5: gettext_noop("little finger"),
}


class BatteryQuerySet(ClinicQuerySet):
    def of_visit(self, visit: Visit) -> "Battery | None":
        return self.filter(visit=visit).prefetch_related("findings").first()

    def latest_of(self, case: Case, *, before: Visit | None = None) -> "Battery | None":
        """The case's last round, or the last one of an earlier visit."""
        rounds = self.filter(visit__case=case).prefetch_related("findings")
        if before is not None:
            rounds = rounds.filter(visit__in=Visit.objects.before(before))
        return rounds.order_by("-performed_on", "-pk").first()


class Battery(ClinicOwned):
    """One round of the battery; it starts from a pain-free arm, so resting pain is asked first."""

    belongs_to = "visit"

    class PerformedBy(models.TextChoices):
        CLINICIAN = "clinician", _("clinician")
        PARTNER = "partner", _("partner")
        SELF = "self", _("patient alone")

    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="battery")
    performed_on = models.DateField(_("performed on"))
    performed_by = models.CharField(
        _("performed by"), max_length=10, choices=PerformedBy, default=PerformedBy.CLINICIAN
    )
    resting_pain = models.SmallIntegerField(_("resting pain before the tests"))

    objects = BatteryQuerySet.as_manager()

    class Meta:
        verbose_name = _("battery")
        verbose_name_plural = _("batteries")
        constraints = [
            models.CheckConstraint(
                name="battery_resting_pain_0_to_10",
                condition=Q(resting_pain__range=(0, 10)),
                violation_error_message=_("Pain is a whole number from 0 to 10."),
            ),
            Sealed(name="battery_of_signed_visit_stays", by="visit.signed_at"),
        ]

    def __str__(self) -> str:
        return f"Battery of {self.visit}"

    def given(self) -> tuple[rules.GivenFinding, ...]:
        """The findings, as the rules take them."""
        return tuple(finding.given() for finding in self.findings.all())

    def read(self) -> "list[Finding]":
        """The findings in the order in which the arm is tested."""
        order = {
            (expected.test.code, expected.side.value, expected.finger): place
            for place, expected in enumerate(rules.expected_findings(self.visit.case.affected))
        }
        return sorted(self.findings.all(), key=lambda finding: order[finding.spot])

    def write(self, findings: "list[Finding]") -> None:
        """Make this round's findings those given; a spot that was found before keeps its row."""
        known = {finding.spot: finding for finding in self.findings.all()}
        for finding in findings:
            finding.battery, finding.clinic_id = self, self.clinic_id
            if finding.spot in known:
                finding.pk = known.pop(finding.spot).pk
        Finding.objects.bulk_create([finding for finding in findings if finding.pk is None])
        Finding.objects.bulk_update([f for f in findings if f.pk], Finding.ANSWERED)
        self.findings.filter(pk__in=[finding.pk for finding in known.values()]).delete()
        self.__dict__.pop("_prefetched_objects_cache", None)
        models.prefetch_related_objects([self], "findings")


class Finding(ClinicOwned):
    """The answer of one test on one side, and for finger tests of one finger."""

    belongs_to = "battery"

    class Answer(models.TextChoices):
        NONE = rules.FindingAnswer.NONE.value, _("no pain")
        FAMILIAR = rules.FindingAnswer.FAMILIAR.value, _("familiar pain")
        OTHER = rules.FindingAnswer.OTHER.value, _("other pain")
        NOT_DONE = rules.FindingAnswer.NOT_DONE.value, _("not done")

    ANSWERED = ("answer", "pain", "where", "why_not_done")

    battery = models.ForeignKey(Battery, on_delete=models.PROTECT, related_name="findings")
    test = models.SlugField(_("test"), max_length=40)
    side = models.CharField(_("side"), max_length=5, choices=Case.SideChoice)
    finger = models.SmallIntegerField(_("finger"), null=True, blank=True)
    answer = models.CharField(_("answer"), max_length=10, choices=Answer)
    pain = models.SmallIntegerField(_("pain"), null=True, blank=True)
    where = models.CharField(_("where"), max_length=40, blank=True)
    why_not_done = models.CharField(_("why not done"), max_length=120, blank=True)

    class Meta:
        verbose_name = _("finding")
        verbose_name_plural = _("findings")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                name="finding_once_a_side",
                fields=["battery", "test", "side"],
                condition=Q(finger__isnull=True),
            ),
            models.UniqueConstraint(
                name="finding_once_a_finger", fields=["battery", "test", "side", "finger"]
            ),
            models.CheckConstraint(
                name="finding_fingers_2_to_5",
                condition=Q(finger__isnull=True) | Q(finger__range=(2, 5)),
            ),
            pain_check("finding_pain_0_to_10", "pain"),
            models.CheckConstraint(
                name="finding_familiar_has_pain",
                condition=~Q(answer="familiar") | Q(pain__isnull=False),
                violation_error_message=_("Say how strong the familiar pain was, 0–10."),
            ),
            models.CheckConstraint(
                name="finding_other_has_place",
                condition=~Q(answer="other") | ~Q(where=""),
                violation_error_message=_("Say where the other pain was."),
            ),
            models.CheckConstraint(
                name="finding_not_done_has_reason",
                condition=~Q(answer="not done") | ~Q(why_not_done=""),
                violation_error_message=_("Say why the test was not done."),
            ),
            Sealed(name="finding_of_signed_visit_stays", by="battery.visit.signed_at"),
        ]

    def __str__(self) -> str:
        return f"{self.test}, {self.side}: {self.answer}"

    @property
    def spot(self) -> tuple[str, str, int | None]:
        return self.test, self.side, self.finger

    @property
    def provocation(self) -> rules.ProvocationTest:
        return rules.BY_CODE[self.test]

    @property
    def place(self) -> rules.Place | None:
        return rules.Place(self.where) if self.where else None

    @property
    def side_label(self) -> str:
        finger = f", {gettext(FINGERS[self.finger])}" if self.finger else ""
        return f"{self.get_side_display()}{finger}"

    def given(self) -> rules.GivenFinding:
        return rules.GivenFinding(
            test=self.test,
            side=Side(self.side),
            finger=self.finger,
            answer=rules.FindingAnswer(self.answer),
            pain=self.pain,
            where=self.place,
            why_not_done=self.why_not_done,
        )
