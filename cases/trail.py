"""The audit trail as it is read: with the people whom its numbers mean, a page at a time, and as a table."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.db.models import Exists

from cases.models import Patient
from clinic.models import AuditEvent, Change, Clinic, Erasure, Staff
from clinic.models.audit import AuditEventQuerySet

EVENTS_A_PAGE, AT_ONCE = 50, 1000
COUNTED = 1000  # more than so many are not counted: a million would take as long as the page


@dataclass(frozen=True, kw_only=True)
class TrailPage:
    """Some events, and the ways to those before and after them; each is known by the event at the edge."""

    events: list[AuditEvent]
    newer: int | None
    older: int | None


def page_of(events: AuditEventQuerySet, *, before: str, after: str) -> TrailPage:
    """The page older than the event `before`, or newer than `after`, or the newest one."""
    if (edge := _event(events, after)) is not None:
        return _newer(events, edge)
    edge = _event(events, before)
    wanted = events if edge is None else events.older_than(edge)
    found = list(_told(wanted)[: EVENTS_A_PAGE + 1])
    shown, more = found[:EVENTS_A_PAGE], len(found) > EVENTS_A_PAGE
    return TrailPage(
        events=shown,
        newer=shown[0].pk if edge is not None and shown else None,
        older=shown[-1].pk if more else None,
    )


def _newer(events: AuditEventQuerySet, edge: AuditEvent) -> TrailPage:
    rising = events.newer_than(edge).order_by("at", "pk")
    found = list(_told(rising)[: EVENTS_A_PAGE + 1])
    shown, more = found[:EVENTS_A_PAGE][::-1], len(found) > EVENTS_A_PAGE
    return TrailPage(
        events=shown,
        newer=shown[0].pk if more else None,
        older=shown[-1].pk if shown else edge.pk,
    )


def _told(events: AuditEventQuerySet) -> AuditEventQuerySet:
    """Each with who it was, and whether something was written in its request."""
    return events.select_related("actor").annotate(wrote=Exists(Change.objects.of_each_event()))


def _event(events: AuditEventQuerySet, number: str) -> AuditEvent | None:
    """The event at the edge of a page; anything else leads to the newest page."""
    if not (number.isdecimal() and len(number) < 19):
        return None
    return events.order_by().numbered(int(number))


def count(events: AuditEventQuerySet) -> int:
    """How many there are, up to one more than are counted."""
    return events.order_by()[: COUNTED + 1].count()


def with_patients(events: Iterable[AuditEvent], clinic: Clinic) -> list[AuditEvent]:
    """The events, each with its patient, or with the number of the record that was erased."""
    rows = list(events)
    keys = {event.patient_key for event in rows if event.patient_key}
    patients = Patient.objects.of(clinic).in_bulk(keys)
    gone = Erasure.objects.of(clinic).records_of(keys - patients.keys())
    for event in rows:
        event.patient, event.erased = (
            patients.get(event.patient_key),
            gone.get(event.patient_key, ""),
        )
    return rows


HEADS = (
    "at (date and time)", "who", "did", "page", "record", "to what", "table", "number", "detail", "request",
    "event",
)  # fmt: skip


def lines(events: AuditEventQuerySet, clinic: Clinic) -> Iterator[tuple]:
    """The trail as rows, read some at a time, each block by the index; moments in the clinic's own time."""
    yield HEADS
    names = {person.pk: str(person) for person in Staff.objects.ever_of(clinic)}
    zone = ZoneInfo(clinic.time_zone)
    some = list(events[:AT_ONCE])
    while some:
        records = _records({event.patient_key for event in some}, clinic)
        for event in some:
            yield (
                event.at.astimezone(zone).isoformat(timespec="seconds"),
                names.get(event.actor_id, ""),
                event.verb,
                event.page or "",
                records.get(event.patient_key, ""),
                event.object_words,
                event.object_type,
                event.object_id or "",
                "; ".join(f"{name}: {value}" for name, value in event.detail.items()),
                event.request,
                event.pk,
            )
        some = list(events.older_than(some[-1])[:AT_ONCE])


def _records(keys: set[int | None], clinic: Clinic) -> dict[int, str]:
    there = Patient.objects.of(clinic).records_of(keys)
    return Erasure.objects.of(clinic).records_of(keys) | there
