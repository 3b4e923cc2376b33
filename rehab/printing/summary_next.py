"""What the patient does now, what comes next, when to take care, and who answers: the end of the summary."""

from collections.abc import Iterator

from django.utils.formats import date_format
from django.utils.translation import gettext
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer, Table, TableStyle

from clinic.templatetags.clinic_tags import clock, say, written
from clinic.wording import gettext_noop

from . import advice
from .paper import ClinicContact, Paper, Styles
from .pieces import BARE, RULE, markup, para, together, unbroken
from .summary_facts import Plan, Signed, Work
from .summary_found import ended
from .visit_tables import cell_style

# Points between who signs and what was signed.
BETWEEN = 24
SOURCES = gettext_noop("Sources: see the printed course.")
HELP = (
    gettext_noop(
        "Get help the same day if the elbow is hot, red and swollen, changes its shape, or you have a fever."
    ),
    gettext_noop(
        "Also if the hand turns numb, cold or pale, the arm is suddenly weak, or the pain never lets up."
    ),
)


def work(facts: Work | None, look: Styles, *, held_up: bool) -> list[Flowable]:
    """Return the stage and the exercises; a program may be `held_up` by an answer that comes first."""
    title = gettext("What you do now")
    if facts is None:
        words = gettext("There is no program now.")
        if held_up:
            words += " " + gettext("What the questions found comes first.")
        return [together(title, [para(words, look.body)], look)]
    stage = gettext("Stage %(stage)s of 5 since %(day)s (%(aim)s), program %(version)s.") % {
        "stage": facts.stage,
        "day": written(facts.since),
        "aim": say(facts.aim).lower(),
        "version": facts.version,
    }
    rows = [
        Paragraph(f"{markup(name)}: <b>{markup(dose)}</b>. {markup(often)}", look.item, "•")
        for name, dose, often in facts.exercises
    ]
    pain = advice.pain_levels(facts.limits)
    allowed = gettext(
        "Pain of %(span)s during an exercise is all right. Pain of %(limit)s is too much."
    ) % {
        "span": pain[0].span,
        "limit": pain[-1].span,
    }
    return [together(title, [para(stage, look.body), *rows, para(allowed, look.body)], look)]


def plan(facts: Plan, clinic: ClinicContact, look: Styles) -> list[Flowable]:
    title = gettext("The plan")
    if facts.closed:
        again = gettext("If the pain comes back, call us on %(phone)s.")
        words = f"{ended(say(facts.closed))} {again % {'phone': unbroken(clinic.phone)}}"
        return [together(title, [para(words, look.body)], look)]
    parts = [
        " ".join(map(markup, _next(facts, clinic))),
        _waits(facts),
        " ".join(map(markup, facts.changes)),
    ]
    return [together(title, [Paragraph(part, look.body) for part in parts if part], look)]


def _waits(facts: Plan) -> str:
    """What the next stage waits for, run in: a list would take a third page."""
    said = " ".join(map(markup, facts.waits))
    return f"<b>{markup(facts.waits_title)}</b> {said}" if said else ""


def _next(facts: Plan, clinic: ClinicContact) -> Iterator[str]:
    visit, due = facts.next_visit, facts.due_on
    if visit:
        yield gettext("Your next visit is on %(day)s at %(time)s, with %(who)s.") % {
            "day": f"{date_format(visit.on, 'l')}, {written(visit.on)}",
            "time": clock(visit.at),
            "who": visit.practitioner,
        }
    else:
        phone = {"phone": unbroken(clinic.phone)}
        yield gettext("Your next visit is not booked yet. Please call %(phone)s.") % phone
    if due:
        coming = gettext("We want to see you again by %(day)s.")
        gone = gettext("We wanted to see you again by %(day)s.")
        yield (gone if facts.overdue else coming) % {"day": written(due)}
    if facts.decided:
        yield gettext("On %(day)s we decided: %(what)s") % {
            "day": written(facts.decided_on),
            "what": say(facts.decided),
        }


def closing(
    facts: Signed, clinic: ClinicContact, look: Styles, paper: Paper, *, sources: bool
) -> list[Flowable]:
    """Return the cautions and the signature, which never stands on a page alone.

    Where the figures have their `sources` is told where there are figures.
    """
    said = (*advice.CAUTION, *HELP, advice.emergency(clinic.emergency_phone))
    words = " ".join(map(markup, (*said, SOURCES) if sources else said))
    care = [para(gettext("Take care"), look.head), Paragraph(words, look.body)]
    return [KeepTogether([*care, _signature(facts, look, paper)])]


def _signature(facts: Signed, look: Styles, paper: Paper) -> Table:
    """Room to sign over the printed name; beside it what was signed last."""
    cell, across = cell_style(look), (paper.width - BETWEEN) / 2
    who, what = (
        [Paragraph(words, cell) for words in part] for part in (_who(facts), _signed(facts))
    )
    return Table(
        [[Spacer(1, paper.scaled(24)), "", ""], [who, "", what]],
        colWidths=[across, BETWEEN, across],
        style=TableStyle(
            [
                *BARE,
                ("LINEABOVE", (0, 1), (0, 1), 0.6, RULE),
                ("TOPPADDING", (0, 1), (-1, 1), 3),
            ]
        ),
        hAlign="LEFT",
    )


def _who(facts: Signed) -> Iterator[str]:
    yield f"<b>{markup(facts.lead)}</b>"
    if facts.registration:
        yield markup(gettext("Registration number %(number)s") % {"number": facts.registration})
    else:
        yield markup(gettext("No registration number is on record."))


def _signed(facts: Signed) -> Iterator[str]:
    if facts.last_on is None:
        yield markup(gettext("No visit of this case is signed yet."))
    else:
        yield markup(
            gettext("The last signed visit is of %(day)s, signed by %(who)s.")
            % {"day": written(facts.last_on), "who": facts.last_by}
        )
    if facts.draft_on:
        text = gettext(
            "The visit of %(day)s is not signed yet. What this sheet says of it may still change."
        )
        yield f"<b>{markup(text % {'day': written(facts.draft_on)})}</b>"
