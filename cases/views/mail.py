"""E-mail to patients: who was not reached and why, what waits, what was sent, and what can be done."""

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from cases.access import notice_or_404
from cases.mail import letter_of
from cases.models import Notice
from cases.tables import mail_rows
from clinic.access import allow
from clinic.audit import record
from clinic.csv_file import export
from clinic.onward import came_from, way_on
from clinic.roles import Capability
from clinic.writing import atomic_post

NOTICES_A_PAGE = 25


def shelves(notices, *, now) -> dict:
    """What the list can show, by the name in the address."""
    return {
        "not-reached": notices.not_reached(now=now).soonest_first(),
        "waiting": notices.waiting().soonest_first(),
        "sent": notices.sent().newest_first(),
        "all": notices.newest_first(),
    }


@require_safe
@allow(Capability.BOOK)
def mail(request):
    notices, now = Notice.objects.of(request.user.clinic), timezone.now()
    shown, found = _chosen(request, notices, now=now)
    context = {
        "page": Paginator(found, NOTICES_A_PAGE).get_page(request.GET.get("page")),
        "shown": shown,
        "query": request.GET.get("q", ""),
        "not_reached": notices.not_reached(now=now).one_a_letter().count(),
        "waiting": notices.waiting().one_a_letter().count(),
        "sends": settings.SENDS_EMAIL,
    }
    return render(request, "cases/mail.html", context)


@require_safe
@allow(Capability.BOOK)
def mail_csv(request):
    clinic = request.user.clinic
    shown, found = _chosen(request, Notice.objects.of(clinic), now=timezone.now())
    told = {"show": shown, "letters": found.count(), "searched": bool(request.GET.get("q"))}
    return export(request, mail_rows(found, clinic), what="e-mail", **told)


def _chosen(request, notices, *, now):
    """Which list is shown, and its letters to patients of the name in the address."""
    query, shown = request.GET.get("q", ""), request.GET.get("show", "")
    by_name = shelves(notices.whose_patient_is_named(query).with_people(), now=now)
    shown = shown if shown in by_name else "not-reached"
    return shown, by_name[shown].one_a_letter()


@require_safe
@allow(Capability.BOOK)
def notice(request, pk):
    notice = notice_or_404(request.user, pk)
    context = {
        "notice": notice,
        "letter": letter_of(notice),
        "may_try_again": notice.may_try_again(now=timezone.now()),
        "next": came_from(request),
    }
    return render(request, "cases/notice.html", context)


@require_POST
@allow(Capability.BOOK)
@atomic_post
def notice_settle(request, pk):
    notice = notice_or_404(request.user, pk, lock=True)
    if notice.is_failed:
        for one in notice.together:
            one.settle(by=request.user, at=timezone.now())
        return _done(request, notice, "settled", _("%(who)s was told otherwise."))
    return _refused(request, notice)


@require_POST
@allow(Capability.BOOK)
@atomic_post
def notice_again(request, pk):
    notice = notice_or_404(request.user, pk, lock=True)
    if notice.may_try_again(now=timezone.now()):
        for one in notice.together:
            one.try_again(at=timezone.now())
        return _done(request, notice, "tried again", _("The e-mail to %(who)s is tried once more."))
    return _refused(request, notice)


@require_POST
@allow(Capability.BOOK)
@atomic_post
def notice_came_back(request, pk):
    notice = notice_or_404(request.user, pk, lock=True)
    if notice.is_sent:
        for one in notice.together:
            one.came_back(at=timezone.now())
        told = _("Noted. Nothing is sent to this address of %(who)s any more.")
        return _done(request, notice, "came back", told)
    return _refused(request, notice)


def _done(request, notice, verb, told):
    record(request.user, verb, notice)
    messages.success(request, told % {"who": notice.appointment.patient})
    return redirect(way_on(request, reverse("cases:mail")))


def _refused(request, notice):
    messages.error(request, _("Somebody or the mail server was faster. This is how it stands now."))
    return redirect("cases:notice", notice.pk)
