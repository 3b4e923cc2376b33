"""How complete the record of a case is, read from its course."""

import datetime

from assessments.clinical.completeness import Ask, Row, Taken, completeness, due
from assessments.course import VALUES, Course, Measured


def taken(at: Measured) -> Taken:
    """What one visit measured, as the agreed measures are looked for."""
    return Taken(
        on=at.on,
        keys=frozenset(key for key, value in VALUES.items() if value(at) is not None),
        items=frozenset(number for number, answer in at.answers.items() if answer is not None),
    )


def core_set(course: Course, *, closed: bool) -> tuple[Row, ...]:
    """Each agreed measure at the start, in between and at discharge; nothing before the first visit."""
    visits = [taken(at) for at in course.visits]
    return completeness(visits, closed=closed) if visits else ()


def due_today(course: Course) -> tuple[Ask, ...]:
    """What is still to be asked for at the newest visit."""
    *earlier, today = (taken(at) for at in course.visits)
    return due(earlier, today)


def due_on(course: Course, *, on: datetime.date) -> tuple[Ask, ...]:
    """What is to be asked for on a day, whether or not its visit has begun."""
    visits = [taken(at) for at in course.visits]
    begun = next((visit for visit in reversed(visits) if visit.on == on), Taken(on=on))
    return due([visit for visit in visits if visit.on < on], begun)
