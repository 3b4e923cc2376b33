"""One dated round of provocation tests."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from cases.clinical import battery as rules
from cases.clinical import findings as given
from cases.clinical.battery_before import fingers_do_not_lift
from cases.clinical.palpation import POINT, Point, Pressed
from cases.clinical.sides import Side
from cases.models.case import Case
from cases.models.intake import pain_check
from cases.models.screening import Screening
from cases.models.visit import Visit
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet
from clinic.wording import gettext_noop

FINGERS = {
    2: gettext_noop("index finger"),
    3: gettext_noop("middle finger"),
    4: gettext_noop("ring finger"),
    5: gettext_noop("little finger"),
}


class BatteryQuerySet(ClinicQuerySet):
    def with_findings(self) -> "BatteryQuerySet":
        return self.select_related("visit__case").prefetch_related("findings", "points")

    def at_and_before(self, visit: Visit) -> "tuple[Battery | None, Battery | None]":
        """The round of a visit, and the last one of its earlier visits."""
        earlier = self.filter(visit__in=Visit.objects.before(visit))
        before = earlier.order_by("-performed_on", "-pk").values("pk")[:1]
        rounds = self.filter(Q(visit=visit) | Q(pk__in=before)).with_findings()
        by_visit = {one.visit_id == visit.pk: one for one in rounds}
        return by_visit.get(True), by_visit.get(False)

    def findings_of_latest(self, case: Case) -> "models.QuerySet[Finding]":
        """The findings of the case's last round that has any."""
        tested = self.filter(models.Exists(Finding.objects.filter(battery=models.OuterRef("pk"))))
        rounds = tested.filter(visit__case=case).order_by("-performed_on", "-pk")
        latest = Finding.objects.filter(battery__in=rounds.values("pk")[:1])
        return latest.select_related("battery")

    def last_two_of(self, case: Case) -> "tuple[Battery | None, Battery | None]":
        """The case's last round that has findings, and the one before it."""
        latest, earlier, *_rest = [*self._tested(case)[:2], None, None]
        return latest, earlier

    def first_and_last_of(self, case: Case) -> "tuple[Battery | None, Battery | None]":
        """The case's first and last round that have findings; the only one is the last."""
        last, *earlier = [*self._tested(case), None]
        return (earlier[-2] if earlier[1:] else None), last

    def _tested(self, case: Case) -> "BatteryQuerySet":
        """The rounds that have findings, the last one first."""
        rounds = self.filter(visit__case=case, findings__isnull=False).distinct()
        return rounds.with_findings().order_by("-performed_on", "-pk")


class Battery(ClinicOwned):
    """One round of the battery; it starts from a pain-free arm, so resting pain is asked first."""

    belongs_to = "visit"

    class PerformedBy(models.TextChoices):
        CLINICIAN = given.Performer.CLINICIAN.value, _("clinician")
        PARTNER = given.Performer.PARTNER.value, _("partner")
        SELF = given.Performer.SELF.value, _("patient alone")

    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="battery")
    performed_on = models.DateField(_("performed on"))
    performed_by = models.CharField(
        _("performed by"), max_length=10, choices=PerformedBy, default=PerformedBy.CLINICIAN
    )
    resting_pain = models.SmallIntegerField(_("resting pain before the tests"))
    despite = models.CharField(_("gone on despite"), max_length=200, blank=True)

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
            Sealed(
                name="battery_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="battery_journaled"),
        ]

    def __str__(self) -> str:
        return f"Battery of {self.visit}"

    @property
    def performer(self) -> given.Performer:
        return given.Performer(self.performed_by)

    def given(self) -> tuple[given.GivenFinding, ...]:
        """The findings, as the rules take them."""
        return tuple(finding.given() for finding in self.findings.all())

    def pressed(self) -> tuple[Pressed, ...]:
        """The points that were pressed, as the rules take them."""
        return tuple(point.given() for point in self.points.all())

    def read(
        self, previous: "Battery | None" = None, *, screening: Screening | None = None
    ) -> rules.Reading:
        """What the round says in words, beside the round before and the last screening."""
        return rules.read_battery(
            self.given(),
            affected=self.visit.case.affected,
            resting_pain=self.resting_pain,
            points=self.pressed(),
            performer=self.performer,
            fingers_do_not_lift=bool(screening) and fingers_do_not_lift(screening.given()),
            previous=previous.given() if previous else None,
        )

    def in_order(self) -> "list[Finding]":
        """The findings in the order in which the arm is tested."""
        affected = self.visit.case.affected
        asked = (*given.expected_findings(affected), *given.optional_findings(affected))
        order = {expected.spot: place for place, expected in enumerate(asked)}
        return sorted(self.findings.all(), key=lambda finding: order[finding.spot])

    def pressed_in_order(self) -> "list[PalpationPoint]":
        """The points in the order of the drawing, the unaffected side first."""
        affected, places = self.visit.case.affected, list(POINT)
        return sorted(
            self.points.all(), key=lambda p: (places.index(p.point), p.side == affected.value)
        )

    def press(self, points: "list[PalpationPoint]") -> None:
        """Make this round's points those given; a point that was pressed before keeps its row."""
        known = {point.spot: point for point in self.points.all()}
        for point in points:
            point.battery, point.clinic_id = self, self.clinic_id
            if point.spot in known:
                point.pk = known.pop(point.spot).pk
        kept = [point for point in points if point.pk]
        PalpationPoint.objects.bulk_create([point for point in points if point.pk is None])
        PalpationPoint.objects.bulk_update(kept, ["pain"])
        self.points.filter(pk__in=[point.pk for point in known.values()]).delete()
        self._read_again("points")

    def write(self, findings: "list[Finding]") -> None:
        """Make this round's findings those given; a spot that was found before keeps its row."""
        known = {finding.spot: finding for finding in self.findings.all()}
        for finding in findings:
            finding.battery, finding.clinic_id = self, self.clinic_id
            if finding.spot in known:
                finding.pk = known.pop(finding.spot).pk
        # Told apart first: bulk_create gives the new ones their keys.
        kept = [finding for finding in findings if finding.pk]
        Finding.objects.bulk_create([finding for finding in findings if finding.pk is None])
        Finding.objects.bulk_update(kept, Finding.ANSWERED)
        self.findings.filter(pk__in=[finding.pk for finding in known.values()]).delete()
        self._read_again("findings")

    def _read_again(self, name: str) -> None:
        self.__dict__.setdefault("_prefetched_objects_cache", {}).pop(name, None)
        models.prefetch_related_objects([self], name)


class Finding(ClinicOwned):
    """The answer of one test on one side, and for finger tests of one finger."""

    belongs_to = "battery"

    class Answer(models.TextChoices):
        NONE = given.FindingAnswer.NONE.value, _("no pain")
        FAMILIAR = given.FindingAnswer.FAMILIAR.value, _("familiar pain")
        OTHER = given.FindingAnswer.OTHER.value, _("other pain")
        NOT_DONE = given.FindingAnswer.NOT_DONE.value, _("not done")

    class Strength(models.TextChoices):
        NORMAL = given.Strength.NORMAL.value, _("normal")
        WEAK = given.Strength.WEAK.value, _("weak")
        ABSENT = given.Strength.ABSENT.value, _("absent")

    ANSWERED = ("answer", "pain", "where", "why_not_done", "strength", "tingling", "variant")

    battery = models.ForeignKey(Battery, on_delete=models.PROTECT, related_name="findings")
    test = models.SlugField(_("test"), max_length=40)
    side = models.CharField(_("side"), max_length=5, choices=Case.SideChoice)
    finger = models.SmallIntegerField(_("finger"), null=True, blank=True)
    answer = models.CharField(_("answer"), max_length=10, choices=Answer)
    pain = models.SmallIntegerField(_("pain"), null=True, blank=True)
    where = models.CharField(_("where"), max_length=40, blank=True)
    why_not_done = models.CharField(_("why not done"), max_length=120, blank=True)
    strength = models.CharField(_("strength"), max_length=6, choices=Strength, blank=True)
    tingling = models.BooleanField(_("new tingling"), default=False)
    variant = models.SlugField(_("done as"), max_length=40, blank=True)

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
            Sealed(
                name="finding_of_signed_visit_stays",
                by="battery.visit.signed_at",
                erased_with="battery.visit.case.patient",
            ),
            Journaled(name="finding_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.test}, {self.side}: {self.answer}"

    @property
    def spot(self) -> tuple[str, str, int | None]:
        return self.test, self.side, self.finger

    @property
    def provocation(self) -> given.ProvocationTest:
        return rules.BY_CODE[self.test]

    @property
    def way(self) -> given.Variant | None:
        return self.given().way

    @property
    def place(self) -> given.Place | None:
        return given.Place(self.where) if self.where else None

    @property
    def remarks(self) -> list[str]:
        """What stands beside the answer: where, tingling, another way of doing it, why not."""
        where = self.place.label if self.place else ""
        tingling = gettext_noop("new tingling") if self.tingling else ""
        way = self.way.text if self.way else ""
        return [text for text in (where, tingling, way, self.why_not_done) if text]

    @property
    def side_label(self) -> str:
        finger = f", {gettext(FINGERS[self.finger])}" if self.finger else ""
        return f"{self.get_side_display()}{finger}"

    def given(self) -> given.GivenFinding:
        return given.GivenFinding(
            test=self.test,
            side=Side(self.side),
            finger=self.finger,
            answer=given.FindingAnswer(self.answer),
            pain=self.pain,
            where=self.place,
            why_not_done=self.why_not_done,
            strength=given.Strength(self.strength) if self.strength else None,
            tingling=self.tingling,
            variant=self.variant,
        )


class PalpationPoint(ClinicOwned):
    """How much one named point on the outside of one elbow hurt when it was pressed."""

    belongs_to = "battery"

    battery = models.ForeignKey(Battery, on_delete=models.PROTECT, related_name="points")
    point = models.SlugField(_("point"), max_length=20)
    side = models.CharField(_("side"), max_length=5, choices=Case.SideChoice)
    pain = models.SmallIntegerField(_("pain"))

    class Meta:
        verbose_name = _("palpation point")
        verbose_name_plural = _("palpation points")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                name="palpation_point_once_a_side", fields=["battery", "point", "side"]
            ),
            pain_check("palpation_pain_0_to_10", "pain"),
            Sealed(
                name="palpation_of_signed_visit_stays",
                by="battery.visit.signed_at",
                erased_with="battery.visit.case.patient",
            ),
            Journaled(name="palpation_point_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.point}, {self.side}: {self.pain}"

    @property
    def spot(self) -> tuple[str, str]:
        return self.point, self.side

    @property
    def place(self) -> Point:
        return POINT[self.point]

    def given(self) -> Pressed:
        return Pressed(point=self.point, side=Side(self.side), pain=self.pain)
