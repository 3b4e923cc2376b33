"""The paper diary typed in at the front desk, which reads nothing of what is on record."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404
from clinic.access import allow
from clinic.audit import record
from clinic.onward import way_on
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.forms.paper_diary import PaperDiaryForm
from rehab.models import DiaryDay, Program


@require_http_methods(["GET", "POST"])
@allow(Capability.TYPE_DIARIES)
@atomic_post
def paper_diary(request: HttpRequest, pk: int) -> HttpResponse:
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    back = way_on(request, reverse("cases:patient", args=[case.patient_id]))
    program = Program.objects.current_of(case)
    if program is None or not case.is_open:
        messages.error(request, _("No program is running, so there is no diary to type."))
        return redirect(back)
    form = PaperDiaryForm(
        typed(request),
        program=program,
        on_record=DiaryDay.objects.dates_of(case),
        today=timezone.localdate(),
        prefix="diary",
    )
    if request.method == "POST" and form.is_valid():
        return _keep(request, form, back)
    context = {"case": case, "program": program, "form": form, "back": back}
    status = 422 if request.method == "POST" else 200
    return render(request, "rehab/paper_diary.html", context, status=status)


def _keep(request: HttpRequest, form: PaperDiaryForm, back: str) -> HttpResponse:
    kept = form.keep()
    record(request.user, "typed diary", form.program, days=kept, page="paper diary")
    words = ngettext(
        "%(n)s day of the diary is typed in.", "%(n)s days of the diary are typed in.", kept
    )
    messages.success(request, words % {"n": kept})
    return redirect(back)
