"""From one visit's rows to what its printed record says."""

import datetime
from collections.abc import Iterator

from django.utils import timezone
from django.utils.html import strip_tags
from django.utils.translation import gettext

from assessments.clinical.protocol import WAYS
from assessments.course import Course, course_of
from assessments.forms.grip import side_name
from assessments.lines import Line
from assessments.lines import Note as ErrorNote
from assessments.templatetags.assessment_tags import amount as amount_of
from assessments.templatetags.assessment_tags import value as value_of
from cases.clinical.battery import Reading
from cases.models import Battery, Screening, Visit
from cases.models.battery import Finding
from clinic.templatetags.clinic_tags import number, say, written
from clinic.wording import say as sentence
from rehab.clinical.criterion import Criterion
from rehab.clinical.ladder import Stage
from rehab.clinical.progression import Proposal
from rehab.clinical.thresholds import NO_SOURCE
from rehab.grouped import Note, judged
from rehab.models import Decision, Program

from .gather import ELBOWS, contact
from .gather_course import of_note
from .ledger import Footnote
from .visit_facts import (
    Added,
    BatteryFacts,
    CriteriaGroup,
    CriterionRow,
    DecisionFacts,
    FindingRow,
    MeasureFacts,
    MeasureRow,
    ProgramFacts,
    Said,
    Signature,
    TrialsRow,
    VisitRecord,
    Written,
)


def visit_record(visit: Visit, *, now: datetime.datetime) -> VisitRecord:
    """Everything the record of a visit says, as it stands `now`."""
    case, made = visit.case, Decision.objects.at(visit)
    return VisitRecord(
        clinic=contact(visit.clinic),
        patient=str(case.patient),
        record=case.patient.record,
        born=case.patient.born,
        elbow=ELBOWS[case.affected],
        on=visit.on,
        seen_by=str(visit.practitioner),
        minutes=visit.minutes,
        due_on=visit.due_on,
        notes=tuple(Written(label=str(label), text=text) for label, text in visit.written_notes()),
        battery=battery(visit),
        measures=measures(course_of(case, visit=visit)),
        decision=decision(made) if made else None,
        program=program_in_force(visit),
        signature=signature(visit),
        addenda=tuple(
            Added(text=row.text, reason=row.reason, by=str(row.written_by), at=row.written_at)
            for row in visit.addenda_in_order()
        ),
        printed_at=now,
    )


def signature(visit: Visit) -> Signature | None:
    if not visit.is_signed:
        return None
    return Signature(
        name=visit.signed_name, registration=visit.signed_registration, at=visit.signed_at
    )


def program_in_force(visit: Visit) -> ProgramFacts | None:
    """The program on the evening of the visit; one that a later visit ended counts as running."""
    program = Program.objects.in_force_on(visit.on, case=visit.case)
    if program is None:
        return None
    ended = program.ended_at and timezone.localdate(program.ended_at)
    return ProgramFacts(
        version=program.version,
        stage=program.stage,
        stage_name=program.rung.label,
        issued_on=timezone.localdate(program.issued_at),
        ended_on=ended if ended == visit.on else None,
    )


def battery(visit: Visit) -> BatteryFacts | None:
    """The round of the visit, read beside the round before and the screening of that day."""
    found, previous = Battery.objects.at_and_before(visit)
    if found is None:
        return None
    # Asked for by every finding, and known already.
    found.visit = visit
    screening = Screening.objects.latest_of(visit.case, until=visit.on)
    findings = found.in_order()
    reading = found.read(previous, screening=screening) if findings else None
    return BatteryFacts(
        on=found.performed_on,
        performed_by=found.get_performed_by_display(),
        resting_pain=found.resting_pain,
        despite=found.despite,
        reading=_said(reading, previous) if reading else (),
        findings=tuple(_finding(row) for row in findings),
        points=tuple(_point(row) for row in found.pressed_in_order()),
    )


def _said(reading: Reading, previous: Battery | None) -> tuple[Said, ...]:
    before = tuple(said for said in (reading.performed, reading.resting) if said)
    practice = (reading.practice,) if reading.practice else ()
    against = sentence(
        "Against the round of %(day)s", day=previous.performed_on if previous else ""
    )
    groups = (
        ("", (*reading.questions, *before, *reading.summary, *reading.agreement)),
        (gettext("Points elsewhere"), reading.raised),
        (against, reading.compared),
        (gettext("To check next (usual practice, from memory)"), reading.next),
        (gettext("How far this can be trusted"), (*practice, reading.caveat)),
    )
    return tuple(Said(title=title, sentences=rows) for title, rows in groups if rows)


def _finding(row: Finding) -> FindingRow:
    strength = (
        gettext("strength: %(strength)s") % {"strength": row.get_strength_display()}
        if row.strength
        else ""
    )
    remarks = [strength, *(say(remark) for remark in row.remarks)]
    return FindingRow(
        test=row.provocation.name,
        side=row.side_label,
        answer=row.get_answer_display(),
        pain=number(row.pain),
        remark="; ".join(remark for remark in remarks if remark),
    )


def _point(row) -> str:
    return gettext("%(point)s, %(side)s: %(pain)s of 10") % {
        "point": say(row.place.name),
        "side": row.get_side_display(),
        "pain": row.pain,
    }


def measures(course: Course) -> MeasureFacts | None:
    rows = tuple(_measure(line, note) for line, _read_from, note in course.rows)
    notes = tuple(map(of_note, course.notes))
    trials = tuple(_trials(course))
    return MeasureFacts(rows=rows, footnotes=notes, trials=trials) if rows or trials else None


def _trials(course: Course) -> Iterator[TrialsRow]:
    """Every squeeze of the visit, those that were struck out with their reason."""
    affected = course.affected
    for way in WAYS if course.today else ():
        for side in (affected.other, affected):
            if squeezes := course.today.squeezes.get((way, side)):
                yield TrialsRow(
                    way=way.name,
                    side=side_name(side, affected=affected),
                    trials=tuple(
                        (number(one.force_n, 0), one.struck.label if one.struck else "")
                        for one in squeezes
                    ),
                )


def _measure(line: Line, note: ErrorNote | None) -> MeasureRow:
    last = _plain(value_of(line.last, line))
    return MeasureRow(
        name=line.measure.name,
        mark=note.mark if note else "",
        start=_plain(value_of(line.start if line.earlier else None, line)),
        last=f"{last}\n{written(line.last.on)}" if line.last else last,
        here=_plain(value_of(line.today, line)),
        change=_change(line),
    )


def _change(line: Line) -> str:
    change = line.since_start
    if change is None:
        return gettext("first value") if line.today else gettext("not measured")
    size = _plain(amount_of(change, line))
    if change.error is None:
        return gettext("%(size)s; no published error fits") % {"size": size}
    text = (
        gettext("%(size)s, beyond error (%(error)s)")
        if change.beyond_error
        else gettext("%(size)s, within error (%(error)s)")
    )
    return text % {"size": size, "error": number(change.error.value)}


def _plain(value) -> str:
    """A value without the marks of the screen."""
    return strip_tags(value)


def decision(made: Decision) -> DecisionFacts:
    """The decision with the criteria and limits as they stood when it was made."""
    proposal = made.as_proposed()
    judgment = judged(proposal)
    return DecisionFacts(
        version=made.program.version,
        proposed=_headline(made, proposal),
        made=f"{made.get_made_display()}, {made.get_made_step_display()}",
        by=str(made.decided_by),
        at=made.decided_at,
        reason=made.reason,
        reasons=proposal.reasons,
        messages=tuple((message.kind, message.words) for message in proposal.messages),
        criteria=tuple(
            CriteriaGroup(
                title=group.title, rows=tuple(_criterion(row, mark) for row, mark in group.rows)
            )
            for group in judgment.groups
        ),
        footnotes=tuple(_footnote(note) for note in judgment.notes),
    )


def _headline(made: Decision, proposal: Proposal) -> str:
    """What was proposed, with the stage and the load that it came to."""
    parts = [made.get_proposed_display(), made.get_proposed_step_display()]
    if proposal.next_stage:
        stage = Stage(proposal.next_stage)
        parts.append(
            gettext("stage %(stage)s, %(name)s") % {"stage": stage.value, "name": say(stage.label)}
        )
    if proposal.next_load_kg:
        parts.append(gettext("%(load)s kg") % {"load": number(proposal.next_load_kg)})
    if proposal.next_repetitions:
        parts.append(gettext("%(n)s repetitions") % {"n": proposal.next_repetitions})
    return ", ".join(parts)


def _criterion(row: Criterion, mark: str) -> CriterionRow:
    gate = [say(part) for part in (row.gate, row.distance) if part]
    return CriterionRow(
        held=row.held, words=row.words, mark=mark, found=row.found, gate="; ".join(gate)
    )


def _footnote(note: Note) -> Footnote:
    figures = "; ".join(f"{say(words)}: {value}" for words, value in note.titles)
    return Footnote(
        mark=note.mark,
        figures=figures,
        limits=note.limits,
        source="" if note.source == NO_SOURCE else note.source,
        status=note.status,
    )
