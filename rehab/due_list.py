"""What the front desk needs to call who is due: when, what kind of visit, the last call; and the stage."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, OuterRef, Subquery

from cases.models import Appointment, Case, Contact, Visit
from cases.models.case import CaseQuerySet
from rehab.clinical.reviewing import LOOK_AGAIN, MessageKind, time_reached
from rehab.clinical.thresholds import Limits
from rehab.models import Decision, Program


@dataclass(frozen=True, kw_only=True)
class Waiting:
    """One case that nobody has booked. `stage` and `asks` are for those who may read clinical records."""

    case: Case
    kind: Appointment.Kind
    asks: MessageKind | None
    stage: int | None
    contact: Contact | None


SORTS = {"due": "due_on", "name": "patient__search_name", "opened": "opened"}


def in_order(cases: CaseQuerySet, key: str, *, usual: str) -> CaseQuerySet:
    """In the order of one of SORTS, backwards with a minus before it; anything else means the usual one.

    Of two at the same place the lower stage comes first: its program moves soonest.
    """
    name = key.removeprefix("-")
    column = F(SORTS.get(name, SORTS[usual]))
    backwards = key.startswith("-") and name in SORTS
    running = Program.objects.issued().not_ended().filter(case=OuterRef("pk"))
    visits = Visit.objects.filter(case=OuterRef("pk")).order_by("-on")
    return cases.annotate(
        stage=Subquery(running.values("stage")[:1]), last_seen=Subquery(visits.values("on")[:1])
    ).order_by(column.desc() if backwards else column.asc(), F("stage").asc(nulls_last=True), "pk")


def waiting(cases: Iterable[Case], *, today: datetime.date, limits: Limits) -> list[Waiting]:
    """The rows of the list, of cases as `in_order` gives them; two queries however many there are."""
    cases = list(cases)
    called, decided = Contact.objects.latest_of(cases), Decision.objects.latest_of(cases)
    return [_row(case, called.get(case.pk), decided.get(case.pk), today, limits) for case in cases]


def kind_due(case: Case, *, today: datetime.date, limits: Limits) -> Appointment.Kind:
    """What a case is to be booked for, as its row of the list says."""
    (row,) = waiting(
        in_order(Case.objects.filter(pk=case.pk), "", usual="due"), today=today, limits=limits
    )
    return row.kind


def _row(case, contact, decision, today, limits) -> Waiting:
    asks = _asked_by(decision) or time_reached(
        _weeks(case, case.last_seen or case.opened), _weeks(case, today), limits
    )
    return Waiting(
        case=case,
        kind=Appointment.Kind.REVIEW if asks else Appointment.Kind.FOLLOW_UP,
        asks=asks,
        stage=case.stage,
        contact=contact,
    )


def _asked_by(decision: Decision | None) -> MessageKind | None:
    """What the last decision asked for: the most serious of refer, examine again and review."""
    kinds = {message.kind for message in decision.as_proposed().messages} if decision else set()
    return next((kind for kind in LOOK_AGAIN if kind in kinds), None)


def _weeks(case: Case, day: datetime.date) -> int:
    return case.days_since_opening(on=day) // 7
