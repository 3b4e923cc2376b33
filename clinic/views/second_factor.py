"""A person's second factor: set up, renewed, switched off; removed by a manager when it is lost."""

import segno
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from clinic.access import allow, before_second_factor
from clinic.audit import record
from clinic.entering import BY_CODE, end_others
from clinic.models import AccountNews, SecondFactor, Staff
from clinic.onward import came_from
from clinic.roles import Capability
from clinic.second_factor_form import CodeForm, PasswordForm
from clinic.writing import atomic_post

About = AccountNews.About


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
@before_second_factor
@allow(Capability.SEE_CLINIC)
@atomic_post
def second_factor(request: HttpRequest) -> HttpResponse:
    """How it stands; while it is set up, the secret, and the first code that confirms it."""
    now, posted = timezone.now(), request.method == "POST"
    factor = SecondFactor.objects.unconfirmed(request.user, now=now, lock=posted)
    if not factor:
        return _show(request, form=PasswordForm(request))
    form = CodeForm(request.POST or None, factor=factor, now=now)
    if form.is_valid():
        return _confirm(request, factor)
    return _show(request, form=form, factor=factor)


def _show(request: HttpRequest, *, form, factor: SecondFactor | None = None) -> HttpResponse:
    context = {"form": form, "confirmed": SecondFactor.objects.of(request.user)}
    if factor:
        code = segno.make_qr(factor.address_for_app(), error="m")
        scan = code.svg_data_uri(scale=5, border=4, dark="#000", light="#fff")
        context |= {"scan": scan, "secret": factor.spelled_out()}
    page = "clinic/second_factor.html"
    return render(request, page, context, status=422 if form.is_bound else 200)


def _confirm(request: HttpRequest, factor: SecondFactor) -> HttpResponse:
    codes = factor.confirm(now=timezone.now())
    request.session[BY_CODE] = True
    end_others(request)
    record(request.user, "set up a second factor")
    AccountNews.objects.tell(request.user, About.FACTOR_ON)
    return render(request, "clinic/recovery_codes.html", {"codes": codes, "first": True})


@sensitive_post_parameters()
@require_POST
@before_second_factor
@allow(Capability.SEE_CLINIC)
@atomic_post
def begin(request: HttpRequest) -> HttpResponse:
    form = PasswordForm(request, request.POST)
    if request.user.has_second_factor:
        return redirect("clinic:second_factor")
    if not form.is_valid():
        return _show(request, form=form)
    SecondFactor.objects.begin(request.user, now=timezone.now())
    return redirect("clinic:second_factor")


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
@allow(Capability.SEE_CLINIC)
@atomic_post
def renew(request: HttpRequest) -> HttpResponse:
    """New recovery codes in the place of the old."""
    factor = SecondFactor.objects.of(request.user)
    if not factor:
        return redirect("clinic:second_factor")
    form = PasswordForm(request, request.POST or None)
    if form.is_valid():
        codes = factor.renew_recovery_codes()
        record(request.user, "renewed the recovery codes")
        AccountNews.objects.tell(request.user, About.CODES)
        return render(request, "clinic/recovery_codes.html", {"codes": codes})
    return _ask_password(request, form, "clinic/second_factor_renew.html")


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
@allow(Capability.SEE_CLINIC)
@atomic_post
def off(request: HttpRequest) -> HttpResponse:
    factor = SecondFactor.objects.of(request.user)
    if not factor:
        return redirect("clinic:second_factor")
    form = PasswordForm(request, request.POST or None)
    if form.is_valid():
        factor.delete()
        request.session[BY_CODE] = False
        end_others(request)
        record(request.user, "switched the second factor off")
        AccountNews.objects.tell(request.user, About.FACTOR_OFF)
        messages.success(request, _("You sign in with your password alone now."))
        return redirect("clinic:account")
    return _ask_password(request, form, "clinic/second_factor_off.html")


def _ask_password(request: HttpRequest, form: PasswordForm, page: str) -> HttpResponse:
    return render(request, page, {"form": form}, status=422 if form.is_bound else 200)


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def remove(request: HttpRequest, pk: int) -> HttpResponse:
    """A colleague has lost phone and paper: the password alone opens again, and no session goes on."""
    member = get_object_or_404(Staff.objects.of(request.user.clinic), pk=pk)
    if member == request.user:
        return redirect("clinic:second_factor_off")
    factor = SecondFactor.objects.of(member)
    if factor:
        factor.delete()
        member.live_sessions().delete()
        record(request.user, "removed the second factor", member)
        AccountNews.objects.tell(member, About.FACTOR_GONE)
        told = _("%(who)s signs in with the password alone, until a new app is set up.")
        messages.success(request, told % {"who": member})
    return redirect(came_from(request) or "clinic:account")
