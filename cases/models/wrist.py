"""The wrist at contact, as it was seen on a picture that was not kept."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.clinical.sides import Side
from cases.clinical.wrist_angle import (
    ArmPoints,
    Motion,
    Picture,
    Point,
    View,
    in_words,
    motion,
    wrist_angle,
)
from cases.models.case import Case
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff
from clinic.wording import Sentence

MOMENTS = ("contact", "after")
PLACES = ("forearm", "wrist", "knuckle")


class WristAngleQuerySet(ClinicQuerySet):
    def of_case(self, case: Case) -> "list[WristAngle]":
        """Every observation of the case, the last one first."""
        return list(self.filter(case=case).select_related("seen_by").order_by("-on", "-pk"))


def angle_check(field: str) -> models.CheckConstraint:
    return models.CheckConstraint(
        name=f"wrist_{field}_within_a_turn",
        condition=Q(**{f"{field}__range": (-180, 180)}),
        violation_error_message=_("An angle is between −180 and 180 degrees."),
    )


class WristAngle(ClinicOwned):
    """Six points of one backhand and the two angles that follow; above 0 extended, below 0 flexed."""

    belongs_to = "case"

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="wrist_angles")
    on = models.DateField(_("seen on"))
    seen_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("seen by")
    )
    arm = models.CharField(_("arm"), max_length=5, choices=Side.choices())
    seen_from = models.CharField(_("camera on"), max_length=13, choices=View.choices())
    mirrored = models.BooleanField(_("mirrored picture"), default=False)
    points = models.JSONField(_("points"))
    contact_deg = models.FloatField(_("angle at contact"))
    after_deg = models.FloatField(_("angle shortly after"))
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = WristAngleQuerySet.as_manager()

    class Meta:
        verbose_name = _("wrist angle")
        verbose_name_plural = _("wrist angles")
        constraints = [
            angle_check("contact_deg"),
            angle_check("after_deg"),
            Journaled(name="wrist_angle_journaled"),
        ]

    def __str__(self) -> str:
        return f"Wrist of {self.case}, {self.on}"

    @property
    def picture(self) -> Picture:
        return Picture(arm=Side(self.arm), seen_from=View(self.seen_from), mirrored=self.mirrored)

    def measure(self, points: dict[str, dict[str, tuple[int, int]]]) -> None:
        """Take the points (moment, place, x and y in pixels) and compute both angles from them."""
        self.points = points
        self.contact_deg, self.after_deg = (
            wrist_angle(arm_points(points[moment]), self.picture) for moment in MOMENTS
        )

    @property
    def motion(self) -> Motion:
        return motion(self.contact_deg, self.after_deg)

    @property
    def contact(self) -> Sentence:
        return in_words(self.contact_deg)

    @property
    def after(self) -> Sentence:
        return in_words(self.after_deg)


def arm_points(places: dict[str, tuple[int, int]]) -> ArmPoints:
    """Return the three points of one moment, as the rules take them."""
    return ArmPoints(**{place: Point(x=x, y=y) for place, (x, y) in places.items()})
