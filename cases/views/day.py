"""What is on today, for the person who looks."""

import datetime
from dataclasses import dataclass, field

from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_safe
from django_htmx.http import HttpResponseClientRefresh

from cases import live
from cases.daybook import by_practitioner
from cases.due import due_cases
from cases.models import Appointment, Case, Notice, Visit
from clinic import set_up
from clinic.access import allow
from clinic.models import Staff
from clinic.roles import Capability

WEEK = datetime.timedelta(days=7)
WAITING_SHOWN = 8  # the rest is a press away, on the list of the due


@dataclass(kw_only=True)
class Day:
    """Today's matters: own patients for a practitioner, everybody's for the desk."""

    on: datetime.date
    mine: list[Appointment] = field(default_factory=list)
    drafts: list[Visit] = field(default_factory=list)
    declined: list[Case] = field(default_factory=list)
    desk: list[tuple[Staff, list[Appointment]]] = field(default_factory=list)
    waiting: list[Case] = field(default_factory=list)
    more_waiting: int = 0
    not_reached: int = 0

    @property
    def appointments(self) -> list[Appointment]:
        return [one for _who, day in self.desk for one in day] or self.mine

    @property
    def first(self) -> Appointment | None:
        return min(self.appointments, key=lambda one: one.starts_at, default=None)

    @property
    def begun(self) -> set[int]:
        """The cases whose visit is begun and not signed."""
        return {draft.case_id for draft in self.drafts}

    @property
    def in_waiting_room(self) -> list[Appointment]:
        return [one for one in self.appointments if one.status == Appointment.Status.ARRIVED]


@require_safe
@allow(Capability.SEE_CLINIC)
def day(request):
    user, today = request.user, timezone.localdate()
    if set_up.comes_first(user):
        return redirect("clinic:set_up")
    if request.htmx and request.GET.get("on") != today.isoformat():
        return HttpResponseClientRefresh()
    seen = live.sight(user.clinic, now=timezone.now(), every=live.MINUTE)
    if live.seen_already(request, seen):
        return live.nothing_new()
    booked = Appointment.objects.of(user.clinic).on_day(today).live().with_people().in_order()
    booked = booked if keeps_the_desk(user) else booked.with_practitioner(user)
    waiting, matters = due_cases(user.clinic, today=today, ahead=WEEK), Day(on=today)
    if user.treats:
        drafts = Visit.objects.of(user.clinic).drafts().begun_by(user)
        matters.drafts = list(drafts.with_patient().newest_first())
        matters.mine = [one for one in booked if one.practitioner_id == user.pk]
        matters.declined = list(
            Case.objects.of(user.clinic).open().led_by(user).declined().with_people()
        )
    if keeps_the_desk(user):
        matters.desk = by_practitioner(booked)
        notices = Notice.objects.of(user.clinic)
        matters.not_reached = notices.not_reached(now=timezone.now()).one_a_letter().count()
    else:
        waiting = waiting.led_by(user)
    matters.waiting = list(waiting.counted()[:WAITING_SHOWN])
    in_all = matters.waiting[0].in_all if matters.waiting else 0
    matters.more_waiting = in_all - len(matters.waiting)
    context = {"day": matters, "desk": keeps_the_desk(user), "seen": seen}
    return live.show(request, "cases/day.html", context)


def keeps_the_desk(user: Staff) -> bool:
    """Whether the person looks after everybody's day: front desk and managers, not physiotherapists."""
    return not user.treats or user.may(Capability.MANAGE)
