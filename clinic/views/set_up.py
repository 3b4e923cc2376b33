"""The page that leads a new clinic's manager through setting it up."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from clinic.set_up import needed, useful
from clinic.writing import atomic_post


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def set_up(request: HttpRequest) -> HttpResponse:
    if request.method == "POST":
        return _put_away(request)
    steps = needed(request.user.clinic)
    following = next((step for step in steps if not step.done), None)
    context = {
        "needed": steps,
        "useful": useful(request.user.clinic),
        "following": following,
        "open": sum(not step.done for step in steps),
    }
    return render(request, "clinic/set_up.html", context)


def _put_away(request: HttpRequest) -> HttpResponse:
    clinic = request.user.clinic.locked()
    if clinic.being_set_up:
        clinic.being_set_up = False
        clinic.save(update_fields=["being_set_up"])
        record(request.user, "changed", clinic, fields=["being_set_up"])
    return redirect("cases:day")
