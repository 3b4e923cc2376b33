"""One dated round of provocation tests."""

import datetime
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods
from django_htmx.http import reselect, reswap, retarget, trigger_client_event

from cases.access import visit_or_404
from cases.clinical.battery import STOP_PAIN, Reading
from cases.clinical.battery_before import before_the_tests
from cases.clinical.palpation import PRESSURE_AGREEMENT
from cases.forms.battery import BatteryForm
from cases.models import Battery, Screening, Visit
from clinic.access import allow
from clinic.answers import answer_form, saves_itself
from clinic.audit import record
from clinic.onward import way_on
from clinic.roles import Capability
from clinic.typed import is_held, typed
from clinic.wording import Sentence
from clinic.writing import atomic_post

TEMPLATE = "cases/battery.html"


@dataclass(kw_only=True)
class BatterySection:
    """The battery of a visit, as a page of its own or as a part of the visit's page."""

    visit: Visit
    form: BatteryForm
    previous: Battery | None
    screening: Screening | None
    url: str
    onward: str
    is_typing: bool = False
    saved_at: datetime.datetime | None = None
    stop = STOP_PAIN
    pressing = PRESSURE_AGREEMENT

    @property
    def round(self) -> Battery | None:
        return self.form.battery

    @property
    def is_begun(self) -> bool:
        return self.round is not None

    @property
    def before(self) -> tuple[Sentence, ...]:
        """What the last screening says before the first test."""
        return before_the_tests(self.screening.given()) if self.screening else ()

    @property
    def reading(self) -> Reading | None:
        """What the saved findings say, in words; nothing before the first one."""
        if not self.form.found:
            return None
        return self.round.read(self.previous, screening=self.screening)


def held_battery(request: HttpRequest, visit: Visit) -> BatterySection | None:
    """The battery that was typed too late, to be shown again; any other is drawn when it is opened."""
    url = reverse("cases:battery", args=[visit.pk])
    return battery_section(request, visit) if is_held(request, url) else None


def battery_section(request: HttpRequest, visit: Visit) -> BatterySection:
    url = reverse("cases:battery", args=[visit.pk])
    screening = Screening.objects.latest_of(visit.case, until=visit.on)
    here, previous = Battery.objects.at_and_before(visit)
    form = BatteryForm(
        typed(request, url),
        visit=visit,
        battery=here,
        screened=screening.given() if screening else (),
        prefix="battery",
    )
    if form.is_bound and visit.is_signed:
        form.add_error(
            None, _("This visit is signed. Nothing was saved; write it into an addendum.")
        )
    return BatterySection(
        visit=visit,
        form=form,
        previous=previous,
        screening=screening,
        url=url,
        onward=way_on(request, reverse("rehab:case", args=[visit.case_id])),
        is_typing=request.method == "POST" and saves_itself(request),
    )


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def battery(request: HttpRequest, pk: int) -> HttpResponse:
    visit = visit_or_404(request.user, pk, lock=request.method == "POST")
    section = battery_section(request, visit)
    if request.method == "GET":
        context = {"battery": section, "form": section.form, "part": bool(request.htmx)}
        return render(request, TEMPLATE + ("#battery-form" if request.htmx else ""), context)
    if section.form.may_be_kept:
        kept = section.form.keep()
        despite = {"despite": kept.despite} if kept.despite else {}
        record(request.user, "wrote the battery", kept, **despite)
        section.saved_at = timezone.now()
    return _answer(request, section)


def _answer(request: HttpRequest, section: BatterySection) -> HttpResponse:
    """A save while typing is answered beside the fields, a button that fills them with all of them."""
    context, ok = {"battery": section, "form": section.form}, section.form.is_valid()
    if request.htmx and section.form.fills:
        status = 200 if ok else 422
        form = render(request, f"{TEMPLATE}#battery-form", context, status=status)
        form = reswap(reselect(retarget(form, "#battery-form"), "#battery-form > *"), "innerHTML")
        return trigger_client_event(form, "saved") if ok else form
    stays = section.form.fills or "stay" in request.POST
    return answer_form(
        request,
        TEMPLATE,
        context,
        ok=ok,
        state="battery-state",
        onward=section.url if stays else section.onward,
    )
