"""The trail, newest first."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.models import AuditEvent
from clinic.roles import Capability


@require_safe
@allow(Capability.READ_AUDIT)
def audit(request):
    events = AuditEvent.objects.of(request.user.clinic).select_related("actor").order_by("-pk")
    page = Paginator(events, 50).get_page(request.GET.get("page"))
    return render(request, "clinic/audit.html", {"page": page})
