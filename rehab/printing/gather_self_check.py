"""From a case to its self-check sheet."""

import datetime

from cases.models import Case

from .gather import ELBOWS, about
from .self_check import SelfCheck


def self_check(case: Case, *, now: datetime.datetime) -> SelfCheck:
    """Name, record number and affected side: everybody who prints may see these."""
    return SelfCheck(
        **about(case.clinic, case.patient, now=now),
        affected=case.affected,
        elbow=ELBOWS[case.affected],
    )
