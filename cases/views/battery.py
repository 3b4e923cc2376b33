"""One dated round of provocation tests."""

import datetime
from dataclasses import dataclass

from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from cases.access import visit_or_404
from cases.clinical.battery import STOP_PAIN, Reading, read_battery
from cases.forms.battery import BatteryForm
from cases.models import Battery, Visit
from clinic.access import allow
from clinic.answers import answer_form
from clinic.audit import record
from clinic.onward import way_on
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post


@dataclass(kw_only=True)
class BatterySection:
    """The battery of a visit, as a page of its own or as a part of the visit's page."""

    visit: Visit
    form: BatteryForm
    previous: Battery | None
    url: str
    onward: str
    saved_at: datetime.datetime | None = None
    stop = STOP_PAIN

    @property
    def round(self) -> Battery | None:
        return self.form.battery

    @property
    def is_begun(self) -> bool:
        return self.round is not None

    @property
    def reading(self) -> Reading | None:
        """What the saved findings say, in words; nothing before the first one."""
        if not self.form.found:
            return None
        return read_battery(
            self.round.given(),
            affected=self.visit.case.affected,
            resting_pain=self.round.resting_pain,
            previous=self.previous.given() if self.previous else None,
        )


def battery_section(request, visit: Visit) -> BatterySection:
    url = reverse("cases:battery", args=[visit.pk])
    form = BatteryForm(
        typed(request, url), visit=visit, battery=Battery.objects.of_visit(visit), prefix="battery"
    )
    if form.is_bound and visit.is_signed:
        form.add_error(
            None, _("This visit is signed. Nothing was saved; write it into an addendum.")
        )
    stays = {"all_none", "stay"} & request.POST.keys()
    onward = url if stays else way_on(request, reverse("rehab:case", args=[visit.case_id]))
    return BatterySection(
        visit=visit,
        form=form,
        previous=Battery.objects.latest_of(visit.case, before=visit),
        url=url,
        onward=onward,
    )


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def battery(request, pk):
    visit = visit_or_404(request.user, pk, lock=request.method == "POST")
    section = battery_section(request, visit)
    context = {"battery": section, "form": section.form}
    if request.method == "GET":
        record(request.user, "opened", visit, page="battery")
        return render(request, "cases/battery.html", context)
    if section.form.may_be_kept:
        record(request.user, "wrote the battery", section.form.keep())
        section.saved_at = timezone.now()
    return answer_form(
        request,
        "cases/battery.html",
        context,
        ok=section.form.is_valid(),
        state="battery-state",
        onward=section.onward,
    )
