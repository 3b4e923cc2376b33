"""Through the front door and out again."""

from django.http import HttpResponseRedirect
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from clinic.access import open_to_all
from clinic.audit import record
from clinic.entering import enter, go_half_way, half_way, leave
from clinic.forms import SignInForm
from clinic.models import SecondFactor, SignIn
from clinic.onward import came_from, way_on
from clinic.second_factor_form import CodeForm, RecoveryForm
from clinic.sign_in_history import note, note_wrong_password
from clinic.typed import remember_typist, waits
from clinic.writing import atomic_post


@open_to_all
@sensitive_post_parameters()
@never_cache
@require_http_methods(["GET", "POST"])
def sign_in(request):
    if request.user.is_authenticated:
        return redirect(way_on(request))
    form = SignInForm(request, request.POST or None)
    if form.is_valid():
        staff, onward = form.get_user(), way_on(request)
        if staff.has_second_factor:
            go_half_way(request, staff, onward=onward)
            return redirect("clinic:sign_in_code")
        return _enter(request, staff, onward)
    note_wrong_password(request, form)
    context = {"form": form, "next": way_on(request), "held": waits(request)}
    return render(request, "clinic/sign_in.html", context)


def _enter(request, staff, onward, *, by_code=False):
    enter(request, staff, onward=onward, by_code=by_code)
    response = HttpResponseRedirect(onward)
    remember_typist(request, response)
    return response


@open_to_all
@sensitive_post_parameters()
@never_cache
@require_http_methods(["GET", "POST"])
def code(request):
    """The second step: the code of the app."""
    return _second_step(request, CodeForm, "clinic/sign_in_code.html")


@open_to_all
@sensitive_post_parameters()
@never_cache
@require_http_methods(["GET", "POST"])
def recovery(request):
    """The second step without the app: a code from paper."""
    return _second_step(request, RecoveryForm, "clinic/sign_in_recovery.html")


@atomic_post
def _second_step(request, kind, template):
    staff, onward = half_way(request)
    factor = staff and SecondFactor.objects.of(staff, lock=request.method == "POST")
    if not factor:
        return redirect("clinic:sign_in")
    form = kind(request.POST or None, factor=factor, now=timezone.now())
    if form.is_valid():
        if kind is RecoveryForm:
            record(staff, "used a recovery code", left=factor.recovery_codes_left())
        return _enter(request, staff, onward, by_code=True)
    if form.is_bound:
        record(staff, "gave a wrong code")
        note(request, SignIn.Outcome.CODE, staff)
    return render(request, template, {"form": form, "staff": staff})


@open_to_all
@require_POST
def sign_out(request):
    if request.user.is_authenticated:
        record(request.user, "signed out")
    onward = came_from(request)
    leave(request)
    page = resolve_url("clinic:sign_in")
    return redirect(f"{page}?{urlencode({'next': onward})}" if onward else page)
