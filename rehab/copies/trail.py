"""What the audit trail says about a patient: who has looked, and who has changed what."""

from collections.abc import Iterator

from cases.models import Patient
from clinic.models import AuditEvent

from .as_data import Names
from .reach import reach, rows_about


def events_about(patient: Patient) -> list[int]:
    """The numbers of the events about the patient's rows, in their order."""
    found: set[int] = set()
    events = AuditEvent.objects.of(patient.clinic_id)
    for model in reach():
        rows = rows_about(model, patient.pk).values("pk")
        about = events.filter(object_type=model._meta.model_name, object_id__in=rows)
        found.update(about.values_list("pk", flat=True))
    return sorted(found)


def events(numbers: list[int]) -> Iterator[AuditEvent]:
    return AuditEvent.objects.filter(pk__in=numbers).order_by("pk")


def event_data(event: AuditEvent, names: Names) -> dict[str, object]:
    who = {"id": event.actor_id, "name": names[event.actor_id]} if event.actor_id else None
    return {
        "id": event.pk,
        "at": event.at,
        "actor": who,
        "verb": event.verb,
        "object_type": event.object_type,
        "object_id": event.object_id,
        "detail": event.detail,
    }
