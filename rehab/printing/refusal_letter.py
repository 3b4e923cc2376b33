"""The letter that tells a patient why what they asked of their record was refused.

What it has to say: that it is refused and why, and that one may complain to the supervisory authority and go
to court, GDPR Art. 12(4); of a correction, that one may put a statement beside the record, 45 CFR
164.526(d)(1). Both from memory, not checked. It defers to local law, which may ask for more.
"""

import datetime
import enum
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils import translation
from django.utils.translation import gettext
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer

from clinic.templatetags.clinic_tags import written
from clinic.wording import gettext_noop

from .letter import LetterPaper, Line, heads, labeled, lines, signature
from .paper import Paper, Running, Sheet, Styles, pdf, styles
from .pieces import markup, name, para, unbroken

# Points to write the name and the address of the authority on.
AUTHORITY_WIDTH, AUTHORITY_LINES = 320, 2


class Wish(enum.StrEnum):
    """What was asked of the record."""

    CORRECTION = "correction"
    ERASURE = "erasure"


@dataclass(frozen=True, kw_only=True)
class RefusalLetter(Sheet):
    """Everything the letter says; `kept_until` is known where the wish was to erase the record."""

    born: datetime.date
    language: str
    wish: Wish
    asked_on: datetime.date
    what: str
    because: str
    decided_on: datetime.date
    decided_by: str
    kept_until: datetime.date | None = None


LEADS = {
    Wish.CORRECTION: gettext_noop(
        "You asked us to correct your record. We have <b>not</b> done so."
    ),
    Wish.ERASURE: gettext_noop("You asked us to erase your record. We <b>keep</b> it for now."),
}
ASKED = {
    Wish.CORRECTION: gettext_noop("On %(day)s you asked us to correct this:"),
    Wish.ERASURE: gettext_noop("On %(day)s you asked us to erase your record."),
}
DECIDED = {
    Wish.CORRECTION: gettext_noop("On %(day)s we said no. What is in the record stays as it is."),
    Wish.ERASURE: gettext_noop("On %(day)s we said no. Your record stays with us until %(until)s."),
}
MAY = {
    Wish.CORRECTION: gettext_noop(
        "You may write down what you think is wrong. Ask us to keep that note with your record."
    ),
    Wish.ERASURE: gettext_noop("You may ask us again after that day."),
}
ASK_US = gettext_noop("Do you have a question? Call us on %(phone)s.")
COMPLAIN = gettext_noop(
    "You may complain to the office that watches over the use of personal data. You may also go to court."
)


def refusal_letter_pdf(letter: RefusalLetter, paper: Paper) -> bytes:
    """Set the letter in its language. Raises CannotPrint for a sign the type lacks."""
    with translation.override(letter.language):
        running = Running.of(letter, gettext("Your request"))
        wide = LetterPaper(page=paper.page, body=paper.body)
        return pdf(refusal_letter_story(letter, wide), running, wide)


def refusal_letter_story(letter: RefusalLetter, paper: LetterPaper) -> list[Flowable]:
    """Return the letter as flowables: what was asked, what was decided and why, what one may do."""
    look = styles(paper.body)
    born = gettext("born %(born)s · record %(record)s") % {
        "born": written(letter.born),
        "record": letter.record,
    }
    return [
        heads(
            [name(letter.patient, look), para(born, look.soft)],
            letter.clinic,
            letter.on,
            look,
            paper,
        ),
        Spacer(1, paper.scaled(10)),
        Paragraph(gettext(LEADS[letter.wish]), look.lead),
        *labeled(gettext("You asked"), _asked(letter), look, paper),
        *labeled(gettext("We decided"), _decided(letter), look, paper),
        *labeled(gettext("Why"), lines(letter.because), look, paper),
        # Neither the lines to write on nor the signature stand on a page without what they belong to.
        KeepTogether(
            [
                *labeled(gettext("Your rights"), _may(letter), look, paper),
                *_authority(look, paper),
                *signature(letter.decided_by, look, paper),
            ]
        ),
    ]


def _asked(letter: RefusalLetter) -> Iterator[str]:
    yield markup(gettext(ASKED[letter.wish]) % {"day": unbroken(written(letter.asked_on))})
    yield from lines(letter.what)


def _decided(letter: RefusalLetter) -> Iterator[str]:
    days = {"day": unbroken(written(letter.decided_on))}
    if letter.kept_until:
        days["until"] = unbroken(written(letter.kept_until))
    yield markup(gettext(DECIDED[letter.wish]) % days)


def _may(letter: RefusalLetter) -> Iterator[str]:
    yield markup(gettext(MAY[letter.wish]))
    yield markup(gettext(COMPLAIN))
    yield markup(gettext(ASK_US) % {"phone": unbroken(letter.clinic.phone)})


def _authority(look: Styles, paper: LetterPaper) -> Iterator[Flowable]:
    """Lines for name and address of the authority, which differs from place to place."""
    words = [gettext("Name and address of this office:")]
    yield from labeled(gettext("The office"), map(markup, words), look, paper)
    for _line in range(AUTHORITY_LINES):
        yield Spacer(1, paper.scaled(22))
        yield Line(paper, paper.scaled(AUTHORITY_WIDTH))
