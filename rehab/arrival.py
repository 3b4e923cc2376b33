"""What front desk hands out and takes in when a patient arrives, and nothing of what it says."""

import datetime
from dataclasses import dataclass

from django.utils import timezone

from assessments.clinical.completeness import Ask
from assessments.core_set import due_on
from assessments.course import course_of
from cases.models import Appointment, Case
from rehab.models import DiaryDay, Program

ONE_DAY = datetime.timedelta(days=1)


@dataclass(frozen=True, kw_only=True)
class AtArrival:
    """What is due for one elbow; `case` is None for somebody whose case is opened at this visit."""

    case: Case | None
    questionnaire: bool
    diary_from: datetime.date | None = None

    @property
    def anything(self) -> bool:
        return self.questionnaire or self.diary_from is not None


def at_arrival(appointment: Appointment, *, today: datetime.date) -> list[AtArrival]:
    """What is due for the case that the appointment is for, otherwise for each open case of the patient."""
    cases = list(Case.objects.open_of(appointment.patient))
    asked = [case for case in cases if case.pk == appointment.case_id] or cases
    if not asked:
        return [AtArrival(case=None, questionnaire=True)]
    running = {one.case_id: one for one in Program.objects.running_for(appointment.patient)}
    return [
        AtArrival(
            case=case,
            questionnaire=Ask.QUESTIONNAIRE in due_on(course_of(case), on=today),
            diary_from=diary_from(running.get(case.pk), today=today),
        )
        for case in asked
    ]


def diary_from(program: Program | None, *, today: datetime.date) -> datetime.date | None:
    """The first day of the program that is not typed in; None when no day before today is missing."""
    if program is None:
        return None
    newest = DiaryDay.objects.newest_of(program.case)
    first = timezone.localdate(program.issued_at)
    if newest is not None:
        first = max(first, newest + ONE_DAY)
    return first if first < today else None
