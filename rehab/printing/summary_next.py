"""What the patient does now, what comes next, when to take care, and who answers: the end of the summary."""

from collections.abc import Iterator

from django.utils.translation import gettext
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer, Table, TableStyle

from . import summary_words as words
from .ledger import cell_style
from .paper import ClinicContact, Paper, Styles
from .pieces import BARE, RULE, markup, para, together
from .summary_facts import Plan, Signed, Work

# Points between who signs and what was signed, and the share of the rest that a signature takes.
BETWEEN, SIGNS = 24, 0.4


def work(facts: Work | None, look: Styles, *, held_up: bool) -> list[Flowable]:
    """Return the stage and the exercises; a program may be `held_up` by an answer that comes first."""
    title = gettext("What you do now")
    if facts is None:
        return [together(title, [para(words.no_program(held_up=held_up), look.body)], look)]
    rows = [
        Paragraph(f"{markup(name)}: <b>{markup(dose)}</b>. {markup(often)}", look.item, "•")
        for name, dose, often in facts.exercises
    ]
    stage, allowed = para(words.stage(facts), look.body), para(words.allowed(facts), look.body)
    return [together(title, [stage, *rows, allowed], look)]


def plan(facts: Plan, clinic: ClinicContact, look: Styles) -> list[Flowable]:
    title = gettext("The plan")
    if facts.closed:
        return [together(title, [para(words.closed(facts, clinic), look.body)], look)]
    parts = [
        " ".join(map(markup, words.coming(facts, clinic))),
        _waits(facts),
        " ".join(map(markup, facts.changes)),
    ]
    return [together(title, [Paragraph(part, look.body) for part in parts if part], look)]


def _waits(facts: Plan) -> str:
    """What the next stage waits for, run in: a list would take a third page."""
    said = " ".join(map(markup, facts.waits))
    return f"<b>{markup(facts.waits_title)}</b> {said}" if said else ""


def closing(
    facts: Signed, clinic: ClinicContact, look: Styles, paper: Paper, *, sources: bool
) -> list[Flowable]:
    """Return the cautions and the signature, which never stands on a page alone.

    Where the figures have their `sources` is told where there are figures.
    """
    said = " ".join(map(markup, words.cautions(clinic, sources=sources)))
    care = [para(gettext("Take care"), look.head), Paragraph(said, look.body)]
    return [KeepTogether([*care, _signature(facts, look, paper)])]


def _signature(facts: Signed, look: Styles, paper: Paper) -> Table:
    """Room to sign over the printed name; beside it what was signed last."""
    cell, across = cell_style(look), (paper.width - BETWEEN) * SIGNS
    who, what = ([Paragraph(said, cell) for said in part] for part in (_who(facts), _signed(facts)))
    return Table(
        [[Spacer(1, paper.scaled(24)), "", ""], [who, "", what]],
        colWidths=[across, BETWEEN, paper.width - BETWEEN - across],
        style=TableStyle(
            [
                *BARE,
                ("LINEABOVE", (0, 1), (0, 1), 0.6, RULE),
                ("TOPPADDING", (0, 1), (-1, 1), 3),
            ]
        ),
        hAlign="LEFT",
    )


def _who(facts: Signed) -> tuple[str, str]:
    return f"<b>{markup(facts.lead)}</b>", markup(words.registered(facts))


def _signed(facts: Signed) -> Iterator[str]:
    yield markup(words.signed_last(facts))
    if draft := words.not_signed(facts):
        yield f"<b>{markup(draft)}</b>"
