"""What one event of the audit trail changed."""

from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.audit import record
from clinic.journal_words import sorted_out
from clinic.models import AuditEvent, Change
from clinic.onward import way_on
from clinic.roles import Capability


@require_safe
@allow(Capability.READ_AUDIT)
def audit_event(request, pk):
    event = get_object_or_404(AuditEvent.objects.of(request.user.clinic), pk=pk)
    changes = Change.objects.of(request.user.clinic).of_event(event)
    page = Paginator(changes, 50).get_page(request.GET.get("page"))
    record(request.user, "opened", event)
    back = way_on(request, reverse("cases:audit"))
    context = {"event": event, "page": page, "rows": sorted_out(page), "back": back}
    return render(request, "clinic/audit_event.html", context)
