"""The published schedules of a draft's exercises, with the week that each exercise has reached."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils import timezone

from rehab.clinical.loads import published_for
from rehab.clinical.schedules import Schedule, ScheduleRow, schedules_for
from rehab.models import Program


@dataclass(frozen=True, kw_only=True)
class Reached:
    """A published schedule, and which week of the exercise it is; None before it has begun."""

    schedule: Schedule
    week: int | None

    @property
    def rows(self) -> Iterator[tuple[ScheduleRow, bool]]:
        """Each line, and whether it stands for the week that is running."""
        for row in self.schedule.rows:
            yield row, self.week is not None and row.holds_in(self.week)


class ByWeek:
    """What was published for the exercises of a draft; `before` is the program that is running."""

    def __init__(self, draft: Program, before: Program | None, *, on: datetime.date) -> None:
        self.sex = published_for(draft.case.patient.sex)
        self.since = _since(before)
        self.on = on

    def of(self, card: str) -> tuple[Reached, ...]:
        found = schedules_for(card, sex=self.sex)
        return tuple(Reached(schedule=one, week=self._week(card)) for one in found)

    def _week(self, card: str) -> int | None:
        since = self.since.get(card)
        return None if since is None else (self.on - since).days // 7 + 1


def _since(before: Program | None) -> dict[str, datetime.date]:
    """Since when each exercise of the running program has been in every version that was issued."""
    if before is None:
        return {}
    still = {one.card for one in before.exercises.all()}
    since = {}
    for program in (before, *Program.objects.before(before).with_exercises()):
        still &= {one.card for one in program.exercises.all()}
        since |= dict.fromkeys(still, timezone.localdate(program.issued_at))
    return since
