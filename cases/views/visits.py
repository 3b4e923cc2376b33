"""The notes of one contact, and what is added after signing."""

import datetime
from dataclasses import dataclass

from django.contrib import messages
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from cases.access import case_or_404, visit_or_404
from cases.forms.visits import AddendumForm, NotesForm
from cases.models import Case, Visit
from clinic.access import allow
from clinic.answers import answer_form
from clinic.audit import record
from clinic.onward import came_from, way_on
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post


@dataclass(kw_only=True)
class NotesSection:
    """The notes of a visit, as a page of their own or as a part of the visit's page."""

    visit: Visit
    form: NotesForm
    previous: Visit | None
    url: str
    onward: str

    @property
    def saved_at(self) -> datetime.datetime | None:
        """When the draft was last saved; a visit that was just begun has been saved by nobody."""
        return self.visit.saved_at if self.visit.written_notes() else None


def _before(visit: Visit, visits: list[Visit] | None) -> Visit | None:
    if visits is None:
        return Visit.objects.before(visit).newest_first().first()
    return next((at for at in reversed(visits) if (at.on, at.pk) < (visit.on, visit.pk)), None)


def notes_section(request, visit: Visit, visits: list[Visit] | None = None) -> NotesSection:
    """The notes' part of a page; `visits` are those of the case in their order, where they are at hand."""
    url = reverse("cases:notes", args=[visit.pk])
    form = NotesForm(
        typed(request, url), instance=visit, prefix="notes", today=timezone.localdate()
    )
    if form.is_bound and visit.is_signed:
        form.add_error(
            None, _("This visit is signed. Nothing was saved; copy it into an addendum.")
        )
    onward = way_on(request, reverse("rehab:case", args=[visit.case_id]))
    return NotesSection(
        visit=visit,
        form=form,
        previous=_before(visit, visits),
        url=url,
        onward=onward,
    )


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def notes(request, pk):
    visit = visit_or_404(request.user, pk, lock=request.method == "POST")
    section = notes_section(request, visit)
    context = {"notes": section, "form": section.form}
    if request.method == "GET":
        return render(request, "cases/notes.html", context)
    if section.form.may_be_kept:
        record(request.user, "wrote notes", visit, fields=section.form.keep())
    return answer_form(
        request,
        "cases/notes.html",
        context,
        ok=section.form.is_valid(),
        state="notes-state",
        onward=section.onward,
    )


@require_POST
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def visit_begin(request, pk):
    case = case_or_404(request.user, pk, lock=True)
    if case.status != Case.Status.OPEN:
        messages.error(request, _("This case is closed. Open a new one to see the patient again."))
        return redirect("rehab:case", pk)
    visit = Visit.begin(case, on=timezone.localdate(), by=request.user)
    record(request.user, "began a visit", visit)
    return redirect("rehab:visit", visit.pk)


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def addendum(request, pk):
    visit = visit_or_404(request.user, pk)
    if not visit.is_signed:
        messages.warning(request, _("This visit is still a draft: write in it directly."))
        return redirect("rehab:visit", pk)
    form = AddendumForm(typed(request))
    if request.method == "POST" and form.is_valid():
        added = form.keep(visit, by=request.user)
        record(request.user, "added to", visit, addendum=added.pk)
        messages.success(request, _("The addendum is kept with the visit."))
        return redirect(way_on(request, reverse("rehab:visit", args=[pk])))
    context = {
        "visit": visit,
        "form": form,
        "addenda": visit.addenda_in_order(),
        "next": came_from(request),
    }
    return render(request, "cases/addendum.html", context, status=422 if form.errors else 200)
