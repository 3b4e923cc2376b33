"""The only writer of the audit trail."""

from django.db import models

from clinic import fetched
from clinic.acting import who
from clinic.models import AuditEvent, Clinic, Staff


def record(actor: Staff, verb: str, target: models.Model | None = None, **detail) -> AuditEvent:
    """Write that `actor` did `verb` to `target`. `detail` holds names and codes, never clinical text."""
    noted = fetched.now() or fetched.Fetched()
    patient = _whose(target, noted) if target else None
    event = AuditEvent.objects.create(
        clinic=actor.clinic,
        actor=actor,
        verb=verb,
        object_type=target._meta.model_name if target else "",
        object_id=target.pk if target else None,
        detail=detail,
        request=who().request,
        page=noted.page,
        patient_key=patient,
    )
    noted.recorded = True
    noted.named.add(patient)
    return event


def _whose(target: models.Model, noted: fetched.Fetched) -> int | None:
    """The patient whom a row names, by a key or a mere number; otherwise the request's, or its case's."""
    own = getattr(target, "patient_key", None) or getattr(target, "patient_id", None) or noted.only
    return own or getattr(getattr(target, "case", None), "patient_id", None)


def record_unattended(verb: str, **detail) -> None:
    """Write into every clinic's trail what a command did to all of them; nobody of the staff did it."""
    for clinic in Clinic.objects.order_by("pk"):
        AuditEvent.objects.create(clinic=clinic, verb=verb, detail=detail)
