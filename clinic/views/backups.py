"""Whether there is a backup; it is made and put back by commands, never by a browser."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.models import BackupRun
from clinic.roles import Capability

SHOWN = 30


@require_safe
@allow(Capability.MANAGE)
def backups(request: HttpRequest) -> HttpResponse:
    last = BackupRun.objects.last_tried()
    runs = list(BackupRun.objects.newest_first()[:SHOWN])
    overdue = last is None or last.is_overdue(now=timezone.now())
    broken = next((run for run in runs if run.trail), None)
    page = {"last": last, "runs": runs, "overdue": overdue, "broken": broken}
    return render(request, "clinic/backups.html", page)
