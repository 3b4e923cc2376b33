"""The record of one visit on paper: what was heard, found, measured, decided, signed and added."""

from collections.abc import Iterable, Sequence

from django.utils import timezone
from django.utils.translation import gettext
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from clinic.templatetags.clinic_tags import NOT_MEASURED, clock, say, written

from .ledger import whose
from .paper import Paper, Running, Styles, pdf, styles
from .pieces import BARE, Rule, Words, markup, para, stacked, wide
from .visit_facts import Added, MeasureFacts, Signature, TrialsRow, Written
from .visit_facts import VisitRecord as VisitRecord
from .visit_tables import battery, decision, measures

# Points: what is higher is cut by the end of a page, and not kept with the signature.
WITH_SIGNATURE = 200


def visit_record_pdf(sheet: VisitRecord) -> bytes:
    """Set the record on A4 in the language in force. Raises CannotPrint for a sign the type lacks."""
    running = Running.of(
        sheet,
        gettext("Visit record"),
        made_on=timezone.localdate(sheet.printed_at),
        version=sheet.program.version if sheet.program else None,
        standing=standing(sheet.signature),
    )
    paper = Paper(page=sheet.clinic.page)
    return pdf(visit_record_story(sheet, paper), running, paper)


def standing(signature: Signature | None) -> str:
    """Who signed and when, or that nobody has; it stands on every page."""
    if signature is None:
        return gettext("Draft, not signed")
    facts = {
        "name": signature.name,
        "number": signature.registration or NOT_MEASURED,
        "day": written(signature.at),
        "time": clock(signature.at),
    }
    return (
        gettext("Signed by %(name)s, registration number %(number)s, on %(day)s at %(time)s")
        % facts
    )


def visit_record_story(sheet: VisitRecord, paper: Paper) -> list[Flowable]:
    """Return the record as flowables: notes first, then what they stand on, the signature last."""
    look = styles(paper.body)
    told = [
        *_opening(sheet, look, paper),
        *_notes(sheet.notes, look, paper),
        *(battery(sheet.battery, look, paper) if sheet.battery else ()),
        *(_measures(sheet.measures, look, paper) if sheet.measures else ()),
        *(decision(sheet.decision, look, paper) if sheet.decision else ()),
    ]
    last = _last_words(told, paper)
    signed = [*told[last:], *_signature(sheet, look, paper)]
    added, closing = _addenda(sheet.addenda, look, paper), _closing(sheet, look, paper)
    end = [KeepTogether(signed), *added, *closing] if added else [KeepTogether(signed + closing)]
    return [*told[:last], *end]


def _last_words(told: Sequence[Flowable], paper: Paper) -> int:
    """Where the words begin that a signature is kept with, so that it is not on a page alone."""
    last = max(place for place, part in enumerate(told) if isinstance(part, Paragraph))
    return last if stacked(told[last:], paper.column) < paper.scaled(WITH_SIGNATURE) else len(told)


def _opening(sheet: VisitRecord, look: Styles, paper: Paper) -> list[Flowable]:
    signed = gettext("Visit of <b>%(day)s</b>, signed by %(name)s.")
    draft = gettext("Visit of <b>%(day)s</b>. This is a draft; nobody has signed it.")
    lead = (signed if sheet.signature else draft) % {
        "day": markup(written(sheet.on)),
        "name": markup(sheet.signature.name if sheet.signature else ""),
    }
    return [
        *whose(sheet, look),
        Paragraph(lead, look.lead),
        Spacer(1, paper.scaled(8)),
        _facts(sheet, look, paper),
    ]


def _facts(sheet: VisitRecord, look: Styles, paper: Paper) -> Table:
    spent = gettext("%(minutes)s min") % {"minutes": sheet.minutes} if sheet.minutes else ""
    facts = (
        (gettext("Seen by"), sheet.seen_by),
        (gettext("Time spent"), spent),
        (gettext("Wanted back on"), written(sheet.due_on)),
        (gettext("Program in force"), _program(sheet)),
    )
    cells = [[para(label, look.note_head) for label, _words in facts]]
    cells.append([para(words or NOT_MEASURED, look.body) for _label, words in facts])
    narrow = paper.width * 0.22
    return Table(
        cells,
        colWidths=[narrow, narrow * 0.8, narrow, paper.width - 2.8 * narrow],
        style=TableStyle([*BARE, ("RIGHTPADDING", (0, 0), (-1, -1), 8)]),
        hAlign="LEFT",
    )


def _program(sheet: VisitRecord) -> str:
    program = sheet.program
    if program is None:
        return ""
    facts = {
        "version": program.version,
        "stage": program.stage,
        "name": say(program.stage_name),
        "issued": written(program.issued_on),
        "ended": written(program.ended_on),
    }
    if program.ended_on:
        text = gettext("Version %(version)s, stage %(stage)s, %(name)s, %(issued)s until %(ended)s")
    else:
        text = gettext("Version %(version)s, stage %(stage)s, %(name)s, issued %(issued)s")
    return text % facts


def _notes(notes: tuple[Written, ...], look: Styles, paper: Paper) -> list[Flowable]:
    head = [CondPageBreak(paper.scaled(90)), para(gettext("Notes"), look.head)]
    if not notes:
        return [*head, para(gettext("No notes."), look.body)]
    typed = (part for note in notes for part in _labeled(note.label, note.text, look, paper))
    return [*head, *typed]


def _labeled(label: Words, text: str, look: Styles, paper: Paper) -> Iterable[Flowable]:
    """What was typed, a paragraph a line: notes may be longer than a page."""
    yield CondPageBreak(paper.scaled(50))
    yield para(label, look.note_head)
    yield from (para(line, look.body) for line in text.splitlines() if line.strip())


def _measures(facts: MeasureFacts, look: Styles, paper: Paper) -> list[Flowable]:
    """The measures, then every squeeze that the means stand on, with those that were struck out."""
    trials = [Paragraph(_squeezes(row), look.body) for row in facts.trials]
    head = [CondPageBreak(paper.scaled(70)), para(gettext("Grip trials, in newtons"), look.head)]
    return [
        *(measures(facts, look, paper) if facts.rows else ()),
        *(head if trials else ()),
        *trials,
    ]


def _squeezes(row: TrialsRow) -> str:
    shown = (
        f"<strike>{markup(force)}</strike> ({markup(gettext('struck out'))}: {markup(why)})"
        if why
        else markup(force)
        for force, why in row.trials
    )
    return f"<b>{markup(row.way)} · {markup(row.side)}:</b> {' · '.join(shown)}"


def _signature(sheet: VisitRecord, look: Styles, paper: Paper) -> list[Flowable]:
    signed = markup(standing(sheet.signature))
    return [
        Rule(paper.width, before=paper.scaled(14)),
        para(gettext("Signature"), look.head),
        Paragraph(f"<b>{signed}</b>", wide(look.body, paper)),
    ]


def _addenda(addenda: tuple[Added, ...], look: Styles, paper: Paper) -> list[Flowable]:
    if not addenda:
        return []
    title = gettext("Added after signing")
    head = [CondPageBreak(paper.scaled(110)), para(title, look.head)]
    return [*head, *(part for added in addenda for part in _added(added, look, paper))]


def _added(added: Added, look: Styles, paper: Paper) -> Iterable[Flowable]:
    label = gettext("Addendum of %(day)s, %(time)s, by %(name)s") % {
        "day": written(added.at),
        "time": clock(added.at),
        "name": added.by,
    }
    yield from _labeled(label, added.text, look, paper)
    yield para(gettext("Reason: %(reason)s") % {"reason": added.reason}, look.note)


def _closing(sheet: VisitRecord, look: Styles, paper: Paper) -> list[Flowable]:
    caution = gettext(
        "What the tests say and what is proposed is worked out by fixed rules from what was "
        "entered; it names no diagnosis. The decision is the physiotherapist's."
    )
    return [Spacer(1, paper.scaled(10)), para(f"{_stood(sheet)} {caution}", wide(look.note, paper))]


def _stood(sheet: VisitRecord) -> str:
    """A draft may change by the minute; what is added to a signed record bears its own time."""
    day = written(sheet.printed_at)
    if sheet.signature:
        return gettext("As it stood on %(day)s.") % {"day": day}
    time = clock(sheet.printed_at)
    return gettext("As it stood on %(day)s at %(time)s.") % {"day": day, "time": time}
