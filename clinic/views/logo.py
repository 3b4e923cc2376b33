"""The logo of the clinic's paper: seeing it, putting another, removing it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clinic.access import allow
from clinic.audit import record
from clinic.logo import as_address
from clinic.logo_form import LogoForm
from clinic.models import Logo
from clinic.roles import Capability
from clinic.writing import atomic_post


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def logo(request: HttpRequest) -> HttpResponse:
    posted = request.method == "POST"
    form = LogoForm(request.POST, request.FILES) if posted else LogoForm()
    if posted and form.is_valid():
        Logo.objects.put(request.user.clinic, form.cleaned_data["file"])
        record(request.user, "changed", request.user.clinic, fields=["logo"])
        messages.success(request, _("The logo stands on every sheet that is printed from now on."))
        return redirect("clinic:logo")
    shown = as_address(Logo.objects.picture_of(request.user.clinic))
    return render(
        request, "clinic/logo.html", {"form": form, "shown": shown}, status=422 if posted else 200
    )


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def remove(request: HttpRequest) -> HttpResponse:
    Logo.objects.remove(request.user.clinic)
    record(request.user, "changed", request.user.clinic, fields=["logo"])
    messages.success(request, _("The logo is removed. Sheets are printed without one."))
    return redirect("clinic:logo")
