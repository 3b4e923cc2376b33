"""Through the front door and out again."""

from django.contrib.auth import login, logout
from django.http import HttpResponseRedirect
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from clinic.access import open_to_all
from clinic.audit import record
from clinic.forms import SignInForm
from clinic.onward import way_on
from clinic.typed import HELD, remember_typist


@open_to_all
@sensitive_post_parameters()
@never_cache
@require_http_methods(["GET", "POST"])
def sign_in(request):
    if request.user.is_authenticated:
        return redirect(way_on(request))
    form = SignInForm(request, request.POST or None)
    if form.is_valid():
        login(request, form.get_user())
        record(request.user, "signed in")
        response = HttpResponseRedirect(way_on(request))
        remember_typist(request, response)
        return response
    context = {"form": form, "next": way_on(request), "held": HELD in request.session}
    return render(request, "clinic/sign_in.html", context)


@open_to_all
@require_POST
def sign_out(request):
    if request.user.is_authenticated:
        record(request.user, "signed out")
    logout(request)
    return redirect("clinic:sign_in")
