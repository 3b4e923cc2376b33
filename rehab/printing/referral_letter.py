"""The letter with which an answer of the screening is passed on to a doctor.

It says what was asked, found and measured, and what is asked for; it states no diagnosis. The doctor reads
it, so it is set in the clinic's language; the patient carries it, so it is set in their print size.
"""

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer, Table

from cases.clinical.referral import Urgency
from cases.clinical.screening import Answer
from cases.clinical.sides import Side
from clinic.templatetags.clinic_tags import NOT_MEASURED, say, written
from clinic.wording import gettext_noop

from .letter import LetterPaper, heads, labeled, lines, rows, signature
from .paper import Paper, Running, Sheet, Styles, pdf, styles
from .pieces import Words, markup, name, para, unbroken


@dataclass(frozen=True, kw_only=True)
class Reason:
    """The answer that leads to the letter, in the question's own words; `since` it has been the same."""

    question: Words
    answer: Answer
    note: str
    on: datetime.date
    since: datetime.date
    onset: datetime.date


@dataclass(frozen=True, kw_only=True)
class Fact:
    """One line of what is on record, such as the last grip of both sides."""

    what: Words
    words: Words


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What the clinician chose and typed for this letter."""

    to: Words
    address: str
    urgency: Urgency
    ask: str
    remark: str = ""


@dataclass(frozen=True, kw_only=True)
class ReferralLetter(Sheet):
    """Everything the letter says."""

    born: datetime.date
    affected: Side
    reason: Reason
    facts: tuple[Fact, ...]
    exercises: tuple[Words, ...]
    asked: Asked
    writer: str
    registration: str


LEADS = {
    Urgency.SAME_DAY: gettext_noop("Please see this patient <b>the same day</b>."),
    Urgency.URGENT: gettext_noop("Please see this patient <b>urgently</b>."),
    Urgency.SOON: gettext_noop("Please see this patient <b>soon</b>."),
    Urgency.NOT_URGENT: gettext_noop("Please see this patient; it is <b>not urgent</b>."),
}
FOR_THE_PATIENT = gettext_noop(
    "For the patient: take this letter with you. If it gets worse before you are seen, get help at "
    "once; in an emergency call %(phone)s."
)


def referral_letter_pdf(letter: ReferralLetter, paper: Paper) -> bytes:
    """Set the letter in the language in force. Raises CannotPrint for a sign the type lacks."""
    running = Running.of(letter, gettext("Referral letter"))
    wide = LetterPaper(page=paper.page, body=paper.body)
    return pdf(referral_letter_story(letter, wide), running, wide)


def referral_letter_story(letter: ReferralLetter, paper: LetterPaper) -> list[Flowable]:
    """Return the letter as flowables: to whom, about whom, how fast and why, what is known, what is asked."""
    look = styles(paper.body)
    return [
        _heads(letter, look, paper),
        Spacer(1, paper.scaled(10)),
        *_about(letter, look),
        *labeled(gettext("Reason"), [_reason(letter)], look, paper),
        *labeled(gettext("We ask"), lines(letter.asked.ask), look, paper),
        *labeled(gettext("On record"), _facts(letter.facts), look, paper),
        *labeled(gettext("Exercises"), map(markup, letter.exercises), look, paper),
        *labeled(gettext("Remark"), lines(letter.asked.remark), look, paper),
        KeepTogether([*_cautions(letter, look, paper), *_signature(letter, look, paper)]),
    ]


def _heads(letter: ReferralLetter, look: Styles, paper: LetterPaper) -> Table:
    """Whom it is for, and beside it from where and of which day it is."""
    to = gettext("To %(whom)s") % {"whom": say(letter.asked.to)}
    address = (para(line, look.cell) for line in rows(letter.asked.address))
    return heads([para(to, look.note_head), *address], letter.clinic, letter.on, look, paper)


def _about(letter: ReferralLetter, look: Styles) -> list[Flowable]:
    who = gettext("born %(born)s · record %(record)s · %(side)s elbow") % {
        "born": written(letter.born),
        "record": letter.record,
        "side": say(letter.affected.label),
    }
    lead = Paragraph(gettext(LEADS[letter.asked.urgency]), look.lead)
    return [name(letter.patient, look), para(who, look.soft), lead]


def _reason(letter: ReferralLetter) -> str:
    reason = letter.reason
    once = gettext(
        "To “%(question)s” the answer was <b>%(answer)s</b> on %(on)s; the %(side)s elbow has hurt "
        "since %(onset)s."
    )
    again = gettext(
        "To “%(question)s” the answer has been <b>%(answer)s</b> since %(since)s, last on %(on)s; "
        "the %(side)s elbow has hurt since %(onset)s."
    )
    noted = gettext("Noted with it: %(note)s.")
    sentence = (again if reason.since < reason.on else once) % {
        "question": markup(reason.question),
        "answer": markup(reason.answer.label),
        "on": markup(written(reason.on)),
        "since": markup(written(reason.since)),
        "onset": markup(written(reason.onset)),
        "side": markup(letter.affected.label),
    }
    note = markup(reason.note.rstrip(" ."))
    return f"{sentence} {noted % {'note': note}}" if note else sentence


def _facts(facts: Iterable[Fact]) -> Iterator[str]:
    for fact in facts:
        yield f"<b>{markup(fact.what)}:</b> {markup(fact.words)}"


def _cautions(letter: ReferralLetter, look: Styles, paper: LetterPaper) -> Iterator[Flowable]:
    caution = gettext(
        "This letter states no diagnosis. Local rules on how fast a patient is seen, and the "
        "judgment of whoever examines, come first."
    )
    call = {"phone": unbroken(letter.clinic.emergency_phone)}
    told = [markup(caution), markup(gettext(FOR_THE_PATIENT) % call)]
    yield from labeled(gettext("Please note"), told, look, paper)


def _signature(letter: ReferralLetter, look: Styles, paper: LetterPaper) -> Iterator[Flowable]:
    who = gettext("%(name)s, registration number %(number)s") % {
        "name": letter.writer,
        "number": letter.registration or NOT_MEASURED,
    }
    yield from signature(who, look, paper)
