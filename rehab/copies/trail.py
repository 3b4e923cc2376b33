"""What the audit trail says about a patient: who has looked, and who has changed what."""

from collections.abc import Iterator

from cases.models import Patient
from clinic.models import AuditEvent

from .as_data import Names, somebody
from .reach import reach, rows_about


def events_about(patient: Patient) -> list[int]:
    """The numbers of the events about the patient, in their order."""
    named = AuditEvent.objects.of(patient.clinic_id).about(patient.pk)
    return sorted({*named.values_list("pk", flat=True), *older_events(patient)})


def older_events(patient: Patient) -> set[int]:
    """Events that name a row of the patient's and not whose it is, as all did before there was a column."""
    events = AuditEvent.objects.of(patient.clinic_id).filter(patient_key=None)
    first, *others = (
        events.filter(
            object_type=model._meta.model_name,
            object_id__in=rows_about(model, patient.pk).values("pk"),
        ).values_list("pk", flat=True)
        for model in reach()
    )
    return set(first.union(*others))


def events(numbers: list[int]) -> Iterator[AuditEvent]:
    return AuditEvent.objects.filter(pk__in=numbers).order_by("pk")


def event_data(event: AuditEvent, names: Names) -> dict[str, object]:
    return {
        "id": event.pk,
        "at": event.at,
        "actor": somebody(event.actor_id, names),
        "verb": event.verb,
        "page": event.page,
        "object_type": event.object_type,
        "object_id": event.object_id,
        "detail": event.detail,
    }
