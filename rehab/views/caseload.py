"""What became of a clinic's cases, counted; and the counts to take along."""

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.csv_file import export
from clinic.roles import Capability
from rehab.caseload import overview
from rehab.caseload_rows import case_rows, table_rows
from rehab.forms.caseload import CaseloadForm


def asked(request: HttpRequest) -> QueryDict:
    """The choices in the address; without any, a physiotherapist sees their own cases."""
    choices = request.GET.copy()
    user = request.user
    own = user.treats and not user.may(Capability.MANAGE)
    choices.setdefault("lead", str(user.pk) if own else "")
    choices.setdefault("measure", "prtee")
    return choices


@require_safe
@allow(Capability.READ_CLINICAL)
def caseload(request: HttpRequest) -> HttpResponse:
    form = CaseloadForm(asked(request), clinic=request.user.clinic)
    found = overview(form.chosen, form.counted, now=timezone.now())
    context = {"form": form, "caseload": found, "choices": form.data.urlencode()}
    return render(request, "rehab/caseload.html", context, status=422 if form.errors else 200)


@require_safe
@allow(Capability.READ_CLINICAL)
def caseload_csv(request: HttpRequest) -> HttpResponse:
    """The table, or with `rows=cases` one line a case by its number, without names of patients."""
    form = CaseloadForm(asked(request), clinic=request.user.clinic)
    found = overview(form.chosen, form.counted, now=timezone.now())
    by_case = request.GET.get("rows") == "cases"
    rows = case_rows(form.chosen, form.counted) if by_case else table_rows(found)
    told = {"cases": found.started if by_case else 0, "measure": form.counted.measure.key}
    what = "caseload cases" if by_case else "caseload table"
    return export(request, rows, what=what, **told)
