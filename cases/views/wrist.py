"""The wrist at contact, beside what was measured in two groups of players."""

import math
from dataclasses import dataclass

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404
from cases.clinical.wrist_angle import AFTER_IMPACT, CONTRADICTED_BY, GROUP_MEANS
from cases.forms.wrist import WristAngleForm
from cases.models import Case, WristAngle
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post

# The drawing: the wrist in the middle, the forearm coming from the left, extension upward.
WRIST_X, WRIST_Y, HAND, GROUP_HAND = 330, 150, 105, 200


@dataclass(frozen=True, kw_only=True)
class Ray:
    """A hand in the drawing: where it ends, and where its word stands."""

    word: str
    end_x: int
    end_y: int
    word_x: int
    word_y: int


def ray(word: str, angle_deg: float, *, length: int, lower: bool = False) -> Ray:
    turn = math.radians(angle_deg)
    across, up = math.cos(turn), math.sin(turn)
    return Ray(
        word=word,
        end_x=round(WRIST_X + length * across),
        end_y=round(WRIST_Y - length * up),
        word_x=round(WRIST_X + (length + 8) * across),
        word_y=round(WRIST_Y - (length + 8) * up) + (16 if lower else 4),
    )


@dataclass(kw_only=True)
class WristPage:
    """One case's backhand: the form, and what was seen before, the last one first."""

    case: Case
    form: WristAngleForm
    seen: list[WristAngle]
    means = GROUP_MEANS
    contradicted_by = CONTRADICTED_BY
    after_impact = AFTER_IMPACT

    @property
    def last(self) -> WristAngle | None:
        return self.seen[0] if self.seen else None

    @property
    def group_rays(self) -> list[Ray]:
        return [ray(mean.group, mean.angle_deg, length=GROUP_HAND) for mean in GROUP_MEANS]

    @property
    def own_rays(self) -> list[Ray]:
        """At contact and shortly after, the lower word moved out of the way."""
        last = self.last
        below = last.contact_deg < last.after_deg
        return [
            ray(_("contact"), last.contact_deg, length=HAND, lower=below),
            ray(_("after"), last.after_deg, length=HAND, lower=not below),
        ]


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def wrist_angle(request, pk):
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    form = WristAngleForm(typed(request), case=case)
    if request.method == "POST" and form.is_valid():
        form.keep(on=timezone.localdate(), by=request.user)
        record(request.user, "wrote the wrist angle", case)
        messages.success(request, _("Kept: the points and the angles, not the pictures."))
        return redirect("cases:wrist_angle", pk)
    page = WristPage(case=case, form=form, seen=WristAngle.objects.of_case(case))
    context = {"wrist": page, "form": form, "case": case}
    return render(request, "cases/wrist_angle.html", context, status=422 if form.errors else 200)
