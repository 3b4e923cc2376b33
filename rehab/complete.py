"""How complete the record of a case is, with what only the diary knows."""

from dataclasses import dataclass
from functools import cached_property

from assessments.clinical.completeness import Row
from assessments.core_set import core_set
from assessments.course import Course
from rehab.clinical.sessions import Week, week
from rehab.inputs import Records


@dataclass(frozen=True, kw_only=True)
class Complete:
    """The agreed measures of a case, and the mean of the mornings of its diary."""

    rows: tuple[Row, ...]
    week: Week

    @cached_property
    def at_start(self) -> int:
        """How many of the agreed measures were taken at the start."""
        return sum(bool(row.baseline.there) for row in self.rows)


def complete(records: Records, course: Course, *, today) -> Complete:
    """Read the record of a case; the week ends the day before `today`."""
    days = tuple(day.given() for day in records.diary)
    return Complete(
        rows=core_set(course, closed=not records.case.is_open),
        week=week(days, today=today, limits=records.limits),
    )
