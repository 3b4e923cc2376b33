"""From a case to its self-check sheet."""

import datetime

from django.utils import timezone

from cases.models import Case

from .gather import ELBOWS, contact
from .self_check import SelfCheck


def self_check(case: Case, *, now: datetime.datetime) -> SelfCheck:
    """Name, record number and affected side: everybody who prints may see these."""
    return SelfCheck(
        clinic=contact(case.clinic),
        patient=str(case.patient),
        record=case.patient.record,
        affected=case.affected,
        elbow=ELBOWS[case.affected],
        language=case.patient.language,
        on=timezone.localdate(now),
    )
