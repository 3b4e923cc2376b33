"""From a case's measures to what its printed course says."""

import datetime
from collections.abc import Iterator

from django.utils import timezone
from django.utils.translation import gettext

from assessments.lines import Note
from assessments.results import Reached
from assessments.templatetags.assessment_tags import figure_value, note_title
from cases.models import Case
from clinic.evidence import Figure
from clinic.templatetags.clinic_tags import say
from rehab.whole_course import Part, WholeCourse

from .course_sheet import CourseSheet, MeasureSheet, ReachedRow
from .gather import ELBOWS, contact
from .ledger import Footnote


def course_sheet(case: Case, whole: WholeCourse, *, now: datetime.datetime) -> CourseSheet:
    """Everything the printed course of a case says, as it stands `now`."""
    return CourseSheet(
        clinic=contact(case.clinic),
        patient=str(case.patient),
        record=case.patient.record,
        born=case.patient.born,
        elbow=say(ELBOWS[case.affected]),
        on=timezone.localdate(now),
        overview=whole.overview,
        measures=tuple(_measure(part) for part in whole.parts),
        rows=whole.rows,
        footnotes=(*_sources(whole), *_gates(whole)),
    )


def _measure(part: Part) -> MeasureSheet:
    return MeasureSheet(
        chart=part.chart,
        figures=part.figures,
        newest=part.newest,
        start=part.start,
        change=part.change,
        mark=part.mark,
        reached=tuple(_reached(row) for row in part.reached),
    )


def _reached(row: Reached) -> ReachedRow:
    words = {True: gettext("reached"), False: gettext("not reached"), None: gettext("not known")}
    return ReachedRow(
        name=say(row.name),
        mark=row.note.mark,
        asks_for=f"{figure_value(row.figure)} {say(row.figure.unit)}".strip(),
        since_last=words[row.since_last],
        since_start=words[row.since_start],
    )


def _sources(whole: WholeCourse) -> Iterator[Footnote]:
    yield from map(of_note, (*whole.error_notes, *whole.important_notes))


def of_note(note: Note) -> Footnote:
    return Footnote(
        mark=note.mark,
        figures=note_title(note),
        limits=note.text,
        source=note.source,
        status=note.status,
    )


def _gates(whole: WholeCourse) -> Iterator[Footnote]:
    """The sources of what the charts show beside the values; no letter leads to them."""
    waited = (figure for row in whole.around.waited for figure in row.figures)
    gates = (gate for part in whole.parts for gate in part.gates)
    for figure in dict.fromkeys((*gates, *waited)):
        yield _footnote(figure)


def _footnote(figure: Figure) -> Footnote:
    words = say(getattr(figure, "words", ""))
    size = f"{figure_value(figure)} {say(figure.unit)}".strip()
    return Footnote(
        mark="",
        figures=f"{words}: {size}" if words else size,
        limits=figure.limits,
        source=figure.source,
        status=figure.status,
    )
