"""Which measure of a course is drawn how."""

from django.utils.translation import gettext as _

from assessments.charts import Chart, Span
from assessments.clinical.grip import grip_error
from assessments.clinical.protocol import PAIN_FREE_STRAIGHT
from assessments.course import Course
from assessments.lines import Line
from clinic.templatetags.clinic_tags import number, say, written

PLACES = {"grip_ratio": 2}


def chart_of(course: Course, key: str, *, spans: tuple[Span, ...] = ()) -> Chart | None:
    """Return the chart of one measure of the register, or None while it has no value."""
    line = course.line(key)
    if not line.points:
        return None
    measure, error = line.measure, _error(line)
    return Chart(
        title=say(measure.name),
        description=_description(line),
        unit=measure.unit if measure.unit == "N" else "",
        points=tuple((point.on, point.value) for point in line.points),
        low=measure.low,
        high=measure.high if key not in ("grip_pain_free", "grip_maximal") else None,
        places=PLACES.get(key, 0),
        error=error,
        error_label=_("within the measurement error of the start"),
        beside=_other_side(course) if key == "grip_pain_free" else (),
        beside_label=_("the other side"),
        spans=spans,
    )


def _error(line: Line) -> float | None:
    """The error of a change from the first value, as published for its number of trials."""
    if line.measure.key == "grip_pain_free":
        figure = grip_error(
            PAIN_FREE_STRAIGHT.position, within_visit=False, trials=line.points[0].trials
        )
        return figure.value if figure else None
    return line.measure.errors[0].value if line.measure.errors else None


def _other_side(course: Course):
    means = ((at.on, at.mean_n(PAIN_FREE_STRAIGHT, affected=False)) for at in course.visits)
    return tuple((on, mean_n) for on, mean_n in means if mean_n is not None)


def _description(line: Line) -> str:
    first, newest = line.points[0], line.points[-1]
    places = PLACES.get(line.measure.key)
    return _("%(count)s values: %(first)s on %(start)s, %(newest)s on %(end)s.") % {
        "count": len(line.points),
        "first": number(first.value, places),
        "start": written(first.on),
        "newest": number(newest.value, places),
        "end": written(newest.on),
    }
