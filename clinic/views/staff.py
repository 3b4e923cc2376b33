"""The clinic's staff: who works here and how their accounts stand."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.csv_file import export
from clinic.lockout import locks
from clinic.models import Invitation, Staff
from clinic.roles import Capability
from clinic.tables import staff_rows


@require_safe
@allow(Capability.MANAGE)
def staff(request: HttpRequest) -> HttpResponse:
    clinic, people = request.user.clinic, _people(request)
    context = {
        "people": people,
        "invitations": list(Invitation.objects.of(clinic).pending().newest_first()),
        "now": timezone.now(),
        "working": sum(one.is_active for one, _waits in people),
    }
    return render(request, "clinic/staff.html", context)


@require_safe
@allow(Capability.MANAGE)
def staff_csv(request: HttpRequest) -> HttpResponse:
    return export(request, staff_rows(_people(request), request.user.clinic), what="staff")


def _people(request: HttpRequest) -> list[tuple[Staff, bool]]:
    """Everybody of the clinic, each with whether too many wrong passwords keep them waiting."""
    wanted = request.GET.get("sort", "name")
    people = list(Staff.objects.ever_of(request.user.clinic).sorted_by(wanted))
    locked = {lock.username for lock in locks([one.username for one in people], now=timezone.now())}
    return [(one, one.username in locked) for one in people]
