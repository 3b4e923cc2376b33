"""Whose booking must be moved, because the clinic's calendar has changed under it."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.moves import moves
from cases.tables import to_move_rows
from cases.to_move import to_be_moved, to_be_moved_in
from clinic.access import allow
from clinic.csv_file import export
from clinic.roles import Capability

BOOKINGS_A_PAGE = 25


@require_safe
@allow(Capability.BOOK)
def to_move(request):
    clinic, now = request.user.clinic, timezone.now()
    found, calendar = to_be_moved_in(clinic, now=now)
    page = Paginator(found, BOOKINGS_A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "all": len(found), "moves": moves(page, clinic, calendar, now=now)}
    return render(request, "cases/to_move.html", context)


@require_safe
@allow(Capability.BOOK)
def to_move_csv(request):
    clinic = request.user.clinic
    found = to_be_moved(clinic, now=timezone.now())
    return export(request, to_move_rows(found, clinic), what="to be moved", bookings=len(found))
