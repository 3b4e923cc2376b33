"""Each person's own account; each section of the page is a template of its own under `clinic/account/`."""

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from clinic.access import allow
from clinic.audit import record
from clinic.entering import end_others
from clinic.help_form import HelpForm
from clinic.models import AccountNews, SignIn
from clinic.password_forms import ChangePasswordForm
from clinic.roles import Capability
from clinic.writing import atomic_post

LAST_SHOWN = 5


@require_safe
@allow(Capability.SEE_CLINIC)
def account(request: HttpRequest) -> HttpResponse:
    last = SignIn.objects.by(request.user).newest_first()[:LAST_SHOWN]
    sessions = list(request.user.live_sessions())
    page = {"sign_ins": last, "sessions": sessions, "help": HelpForm(instance=request.user)}
    return render(request, "clinic/account.html", page)


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
@allow(Capability.SEE_CLINIC)
@atomic_post
def password(request: HttpRequest) -> HttpResponse:
    form = ChangePasswordForm(request)
    if form.is_valid():
        return _change(request, form)
    return render(
        request, "clinic/password.html", {"form": form}, status=422 if form.is_bound else 200
    )


def _change(request: HttpRequest, form: ChangePasswordForm) -> HttpResponse:
    record(form.save(), "changed the password")
    AccountNews.objects.tell(request.user, AccountNews.About.PASSWORD)
    # This session goes on under a new key; those at other machines carry the old password's mark.
    end_others(request)
    update_session_auth_hash(request, form.user)
    messages.success(
        request, _("The password is changed. Wherever else you were signed in, you are signed out.")
    )
    return redirect("clinic:account")
