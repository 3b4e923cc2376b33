"""New staff: inviting somebody, and the page behind the link, where they choose name and password."""

from django.contrib import messages
from django.contrib.auth import logout
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clinic.access import allow, open_to_all
from clinic.account_mail import send_invitation
from clinic.audit import record
from clinic.invitation_form import InvitationForm, JoinForm
from clinic.models import Invitation
from clinic.roles import Capability
from clinic.secret_links import digest
from clinic.typed import typed
from clinic.writing import atomic_post

SHOWN_ONCE = "invitation link"
JOINING = "joining"


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
def invite(request: HttpRequest) -> HttpResponse:
    mine = Invitation(clinic=request.user.clinic, invited_by=request.user)
    form = InvitationForm(typed(request), instance=mine)
    posted = request.method == "POST"
    if posted and form.is_valid():
        return _invite(request, form)
    return render(request, "clinic/invite.html", {"form": form}, status=422 if posted else 200)


def _invite(request: HttpRequest, form: InvitationForm) -> HttpResponse:
    invited = form.save(commit=False)
    with transaction.atomic():
        link = _give(request, invited, "invited")
    # Outside: on SQLite everybody else would wait to write until the mail server has answered.
    if form.cleaned_data.get("send"):
        _send(request, invited, link)
    return redirect("clinic:invitation", invited.pk)


def _give(request: HttpRequest, invited: Invitation, verb: str) -> str:
    """Make a link, write it down, and keep it for the next page, which shows it once."""
    secret = invited.renew(now=timezone.now())
    record(request.user, verb, invited, role=invited.role)
    link = request.build_absolute_uri(reverse("clinic:join_by", args=[secret]))
    request.session[SHOWN_ONCE] = {"of": invited.pk, "link": link}
    return link


def _send(request: HttpRequest, invited: Invitation, link: str) -> None:
    if send_invitation(invited, link):
        messages.success(request, _("The link was sent to %(to)s.") % {"to": invited.email})
    else:
        told = _("The mail server did not take the e-mail. Pass the link on yourself.")
        messages.error(request, told)


def _own(request: HttpRequest, pk: int) -> Invitation:
    rows = Invitation.objects.of(request.user.clinic).pending()
    locked = rows.select_for_update(no_key=True) if request.method == "POST" else rows
    return get_object_or_404(locked, pk=pk)


@never_cache
@require_safe
@allow(Capability.MANAGE)
def invitation(request: HttpRequest, pk: int) -> HttpResponse:
    invited = _own(request, pk)
    shown = request.session.pop(SHOWN_ONCE, None) or {}
    context = {
        "invitation": invited,
        "link": shown["link"] if shown.get("of") == pk else "",
        "is_over": invited.expires_at <= timezone.now(),
    }
    return render(request, "clinic/invitation.html", context)


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def invitation_renew(request: HttpRequest, pk: int) -> HttpResponse:
    invited = _own(request, pk)
    _give(request, invited, "renewed the invitation")
    return redirect("clinic:invitation", invited.pk)


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def invitation_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    invited = _own(request, pk)
    invited.revoke(now=timezone.now())
    record(request.user, "took back the invitation", invited)
    told = _("The link for %(who)s opens nothing any more.")
    messages.success(request, told % {"who": invited})
    return redirect("clinic:staff")


@open_to_all
@never_cache
@require_safe
def join_by(request: HttpRequest, secret: str) -> HttpResponse:
    """Put the secret out of sight, so that it stands in no history of the page that follows."""
    request.session[JOINING] = digest(secret)
    return redirect("clinic:join")


@open_to_all
@sensitive_post_parameters()
@never_cache
@require_http_methods(["GET", "POST"])
@atomic_post
def join(request: HttpRequest) -> HttpResponse:
    posted, mark = request.method == "POST", request.session.get(JOINING)
    if mark is None:
        return redirect("clinic:sign_in")
    rows = Invitation.objects.opened_by(mark, now=timezone.now())
    invited = (rows.select_for_update(of=("self",), no_key=True) if posted else rows).first()
    if invited is None:
        return render(request, "clinic/join_closed.html", status=404)
    form = JoinForm(invited, request.POST or None)
    if form.is_valid():
        return _join(request, invited, form)
    context = {"form": form, "invitation": invited}
    return render(request, "clinic/join.html", context, status=422 if posted else 200)


def _join(request: HttpRequest, invited: Invitation, form: JoinForm) -> HttpResponse:
    staff = form.save(commit=False)
    invited.accept(staff, now=timezone.now())
    record(staff, "joined", staff, invitation=invited.pk)
    logout(request)  # somebody else may have been signed in at this machine
    told = _("Welcome. Sign in as %(name)s with the password that you have chosen.")
    messages.success(request, told % {"name": staff.username})
    return redirect("clinic:sign_in")
