"""Through the front door and out again."""

from django.contrib.auth import logout
from django.http import HttpResponseRedirect
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from clinic.access import open_to_all
from clinic.audit import record
from clinic.entering import enter
from clinic.forms import SignInForm
from clinic.onward import came_from, way_on
from clinic.typed import remember_typist, waits


@open_to_all
@sensitive_post_parameters()
@never_cache
@require_http_methods(["GET", "POST"])
def sign_in(request):
    if request.user.is_authenticated:
        return redirect(way_on(request))
    form = SignInForm(request, request.POST or None)
    if form.is_valid():
        enter(request, form.get_user())
        response = HttpResponseRedirect(way_on(request))
        remember_typist(request, response)
        return response
    context = {"form": form, "next": way_on(request), "held": waits(request)}
    return render(request, "clinic/sign_in.html", context)


@open_to_all
@require_POST
def sign_out(request):
    if request.user.is_authenticated:
        record(request.user, "signed out")
    onward = came_from(request)
    logout(request)
    page = resolve_url("clinic:sign_in")
    return redirect(f"{page}?{urlencode({'next': onward})}" if onward else page)
