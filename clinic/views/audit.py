"""The trail, newest first, and what one of its events changed."""

from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.audit import record
from clinic.journal_words import sorted_out
from clinic.models import AuditEvent, Change
from clinic.roles import Capability


@require_safe
@allow(Capability.READ_AUDIT)
def audit(request):
    events = AuditEvent.objects.of(request.user.clinic).select_related("actor").order_by("-pk")
    page = Paginator(events, 50).get_page(request.GET.get("page"))
    changed = Change.objects.of(request.user.clinic).requests_of(page)
    return render(request, "clinic/audit.html", {"page": page, "changed": changed})


@require_safe
@allow(Capability.READ_AUDIT)
def audit_event(request, pk):
    event = get_object_or_404(AuditEvent.objects.of(request.user.clinic), pk=pk)
    changes = Change.objects.of(request.user.clinic).of_event(event)
    page = Paginator(changes, 50).get_page(request.GET.get("page"))
    record(request.user, "opened", event)
    context = {"event": event, "page": page, "rows": sorted_out(page)}
    return render(request, "clinic/audit_event.html", context)
