"""One member of staff: what they do here, whether they can sign in, and what is booked with them."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from cases.access import staff_or_404
from cases.models import Appointment, CalendarKey
from cases.views.hours import after_a_change
from clinic.access import allow
from clinic.audit import record
from clinic.lockout import lift, locks
from clinic.models import AccountNews, Staff
from clinic.reset_links import HOURS, reset_path
from clinic.roles import Capability
from clinic.staff_form import StaffForm
from clinic.typed import typed
from clinic.writing import atomic_post

SHOWN_ONCE = "link for a new password"


def _found(request: HttpRequest, pk: int) -> Staff:
    """The person; a POST holds the clinic first, so that its last two managers can't close each other out."""
    if request.method != "POST":
        return staff_or_404(request.user, pk)
    request.user.clinic.locked()
    return staff_or_404(request.user, pk, lock=True)


def _booked_with(member: Staff) -> int:
    """How many bookings to come are with somebody."""
    booked = Appointment.objects.of(member.clinic).with_practitioner(member)
    return booked.coming(after=timezone.now()).count()


@never_cache
@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def staff_member(request: HttpRequest, pk: int) -> HttpResponse:
    member = _found(request, pk)
    name = str(member)
    form = StaffForm(typed(request), instance=member)
    posted = request.method == "POST"
    if posted and form.is_valid():
        return _save(request, form)
    context = {
        "form": form,
        "name": name,
        "member": staff_or_404(request.user, pk),
        "locks": locks([member.username], now=timezone.now()),
        "coming": _booked_with(member),
        "link": _link_shown_once(request, member),
        "hours": HOURS,
    }
    return render(request, "cases/staff_member.html", context, status=422 if posted else 200)


def _link_shown_once(request: HttpRequest, member: Staff) -> str:
    shown = request.session.pop(SHOWN_ONCE, None) or {}
    return shown["link"] if shown.get("of") == member.pk else ""


def _save(request: HttpRequest, form: StaffForm) -> HttpResponse:
    if not (changes := form.changes()):
        messages.info(request, _("Nothing was changed."))
        return redirect("clinic:staff")
    member = form.save()
    record(request.user, "changed", member, fields=changes, role=member.role)
    if "email" in changes:
        AccountNews.objects.tell(member, AccountNews.About.EMAIL, to=form.initial["email"])
    messages.success(request, _("Saved: %(who)s.") % {"who": member})
    # Who manages no more has no list of the staff.
    onward = (
        "clinic:account" if member == request.user and not member.may_manage else "clinic:staff"
    )
    return after_a_change(request, otherwise=onward)


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def account_close(request: HttpRequest, pk: int) -> HttpResponse:
    member = _found(request, pk)
    if why := _why_not_closed(request.user, member):
        messages.error(request, why)
        return redirect("cases:staff_member", pk)
    if request.method == "POST":
        return _close(request, member)
    context = {"member": member, "coming": _booked_with(member)}
    return render(request, "cases/account_close.html", context)


def _why_not_closed(user: Staff, member: Staff) -> str:
    if not member.is_active:
        return _("The account is closed already.")
    if member.is_last_manager:
        return _("Nobody else manages the clinic. Make somebody else a manager first.")
    if member == user:
        return _("Another manager closes your account.")
    return ""


def _close(request: HttpRequest, member: Staff) -> HttpResponse:
    for key in CalendarKey.objects.held_by(member):
        key.revoke()
    member.close()
    record(request.user, "closed the account", member)
    told = _("The account of %(who)s is closed, and signed out everywhere.")
    messages.success(request, told % {"who": member})
    return after_a_change(request, otherwise="clinic:staff")


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def account_open(request: HttpRequest, pk: int) -> HttpResponse:
    member = _found(request, pk)
    if member.is_active:
        messages.info(request, _("The account is open already."))
    else:
        member.reopen()
        record(request.user, "opened the account", member)
        messages.success(request, _("The account of %(who)s is open again.") % {"who": member})
    return redirect("cases:staff_member", pk)


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def account_new_password(request: HttpRequest, pk: int) -> HttpResponse:
    """Make a link to hand over; until it is used, the password stays as it is."""
    member = staff_or_404(request.user, pk, lock=True)
    if member.is_active:
        record(request.user, "made a link for a new password", member)
        link = request.build_absolute_uri(reset_path(member))
        request.session[SHOWN_ONCE] = {"of": member.pk, "link": link}
    else:
        messages.error(request, _("The account is closed. Open it first."))
    return redirect("cases:staff_member", pk)


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def account_let_in(request: HttpRequest, pk: int) -> HttpResponse:
    """Lift the wait after wrong passwords."""
    member = staff_or_404(request.user, pk)
    if lift(member):
        record(request.user, "let in again", member)
    messages.success(request, _("%(who)s can try to sign in at once.") % {"who": member})
    return redirect("cases:staff_member", pk)
