"""Whose booking must be moved, because the clinic's calendar has changed under it."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.to_move import to_be_moved
from clinic.access import allow
from clinic.roles import Capability

BOOKINGS_A_PAGE = 25


@require_safe
@allow(Capability.BOOK)
def to_move(request):
    found = to_be_moved(request.user.clinic, now=timezone.now())
    page = Paginator(found, BOOKINGS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "cases/to_move.html", {"page": page, "all": len(found)})
