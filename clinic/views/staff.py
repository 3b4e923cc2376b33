"""The clinic's staff: who works here and how their accounts stand."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.lockout import locks
from clinic.models import Invitation, Staff
from clinic.roles import Capability


@require_safe
@allow(Capability.MANAGE)
def staff(request: HttpRequest) -> HttpResponse:
    clinic, wanted = request.user.clinic, request.GET.get("sort", "name")
    people = list(Staff.objects.ever_of(clinic).sorted_by(wanted))
    locked = {lock.username for lock in locks([one.username for one in people], now=timezone.now())}
    context = {
        "people": [(one, one.username in locked) for one in people],
        "invitations": list(Invitation.objects.of(clinic).pending().newest_first()),
        "now": timezone.now(),
        "working": sum(one.is_active for one in people),
    }
    return render(request, "clinic/staff.html", context)
