"""What goes on around the measures of a case: stages, injections, sessions that were too much, gates."""

import datetime
from collections.abc import Iterable, Iterator

from django.utils.translation import gettext as _

from assessments.charting import Around
from assessments.charts import Mark, MarkKind, Span, Target, Waited
from assessments.clinical.untreated import UNTREATED, Observed
from assessments.course import Course
from clinic.templatetags.clinic_tags import number, say
from rehab.clinical.ladder import Stage
from rehab.clinical.sessions import SessionState
from rehab.clinical.targets import targets_of
from rehab.clinical.thresholds import Threshold
from rehab.inputs import Records, read_days
from rehab.models import Program


def around(records: Records, course: Course, programs: list[Program]) -> Around:
    """Gather what the charts of a case show beside the values; `programs` are the issued ones."""
    measured = [at.on for at in course.visits if at.anything]
    begun = sorted(programs, key=lambda program: program.version)
    marks = (*injections(records), *flares(records, begun, course))
    since = min(measured, default=None)
    spans = stage_spans(begun)
    stage = begun[-1].rung if begun else Stage.ISOMETRIC
    return Around(
        spans=spans,
        marks=marks,
        targets={
            key: tuple(map(_target, rows))
            for key, rows in targets_of(stage, records.limits).items()
        },
        waited=untreated(since),
        since=since,
        until=_end(measured, spans, marks),
    )


def _end(
    measured: list[datetime.date], spans: tuple[Span, ...], marks: tuple[Mark, ...]
) -> datetime.date | None:
    """The last day of which anything is known, after the first value."""
    if not measured:
        return None
    return max([*measured, *(span.since for span in spans), *(mark.day for mark in marks)])


def stage_spans(programs: Iterable[Program]) -> tuple[Span, ...]:
    """The stages in their order, each until the next one begins."""
    began = sorted({(program.stage_since, program.stage) for program in programs})
    ends = [*(since for since, _stage in began[1:]), None]
    return tuple(
        Span(label=say(Stage(stage).label), short=str(stage), since=since, until=until)
        for (since, stage), until in zip(began, ends, strict=False)
    )


def injections(records: Records) -> Iterator[Mark]:
    for row in records.injections:
        label = _("%(substance)s injection") % {"substance": row.get_substance_display()}
        yield Mark(day=row.given_on, kind=MarkKind.INJECTION, label=label)


def flares(records: Records, programs: list[Program], course: Course) -> Iterator[Mark]:
    """The days whose session was too much, each judged by the program that it belongs to."""
    for day, reading in read_days(records, programs, course):
        if day.sets_done > 0 and reading.state is SessionState.TOO_MUCH:
            yield Mark(day=day.on, kind=MarkKind.FLARE, label=_("too much"))


def _target(row: Threshold) -> Target:
    value = number(row.value, 2 if row.value < 1 else 0)
    long = _("%(value)s: %(words)s") % {"value": value, "words": say(row.words)}
    return Target(
        value=row.value, words=(long, _("target %(value)s") % {"value": value}), figure=row
    )


def untreated(since: datetime.date | None) -> tuple[Waited, ...]:
    """The shares that were observed without treatment, at the day of this case that they fall on.

    The studies count from the day that people entered them, so a case counts from its first measure.
    """
    if since is None:
        return ()
    of_day: dict[datetime.date, list[Observed]] = {}
    for row in UNTREATED:
        of_day.setdefault(since + datetime.timedelta(weeks=row.weeks), []).append(row)
    return tuple(_waited(day, rows) for day, rows in of_day.items())


def _waited(day: datetime.date, rows: list[Observed]) -> Waited:
    one = _("%(share)s %% %(outcome)s")
    parts = [one % {"share": number(row.share.value), "outcome": say(row.outcome)} for row in rows]
    shares = " / ".join(_("%(share)s %%") % {"share": number(row.share.value)} for row in rows)
    return Waited(
        day=day,
        words=(
            _("without treatment: %(shares)s") % {"shares": "; ".join(parts)},
            _("without treatment: %(shares)s") % {"shares": shares},
            shares,
        ),
        sentences=tuple(say(row.sentence) for row in rows),
        figures=tuple(row.share for row in rows),
    )
