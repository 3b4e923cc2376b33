"""From a request that was refused to what its letter says."""

import datetime

from django.utils import timezone

from cases.models import CorrectionRequest, ErasureRefusal, Patient

from .gather import about
from .refusal_letter import RefusalLetter, Wish


def of_correction(
    asked: CorrectionRequest, *, language: str, now: datetime.datetime
) -> RefusalLetter:
    """The letter about a request for correction that was refused."""
    return RefusalLetter(
        **_about(asked.patient, language=language, now=now),
        wish=Wish.CORRECTION,
        asked_on=asked.asked_on,
        what=asked.what,
        because=asked.because,
        decided_on=timezone.localdate(asked.answered_at),
        decided_by=str(asked.answered_by),
    )


def of_erasure(refusal: ErasureRefusal, *, language: str, now: datetime.datetime) -> RefusalLetter:
    """The letter about a record that is kept against the patient's wish."""
    return RefusalLetter(
        **_about(refusal.patient, language=language, now=now),
        wish=Wish.ERASURE,
        asked_on=refusal.asked_on,
        what="",
        because=refusal.reason,
        decided_on=timezone.localdate(refusal.refused_at),
        decided_by=str(refusal.refused_by),
        kept_until=refusal.kept_until,
    )


def _about(patient: Patient, *, language: str, now: datetime.datetime) -> dict[str, object]:
    told = about(patient.clinic, patient, now=now)
    return told | {"born": patient.born, "language": language}
