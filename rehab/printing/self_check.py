"""The tests that a patient repeats at home, alone or with a partner, with room for the answers.

Order and fields are those of the battery's form, so the answers are typed back from top to bottom.
The sheet says nothing about what the answers mean.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import translation
from django.utils.translation import gettext
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from cases.clinical.findings import ExpectedFinding, Performer, expected_findings
from cases.clinical.maneuver import ProvocationTest
from cases.clinical.palpation import POINTS
from cases.clinical.sides import Side
from clinic.templatetags.clinic_tags import say

from . import advice
from . import self_check_rows as rows
from . import self_check_words as words
from .paper import Paper, Running, Sheet, Styles, pdf, styles
from .pieces import BARE, Words, bullets, name, numbered, para, titled, together, unbroken, wide


@dataclass(frozen=True, kw_only=True)
class SelfCheck(Sheet):
    """Everything the sheet says; of the record only whose arm it is and which one hurts."""

    affected: Side
    elbow: Words
    language: str

    @property
    def asked(self) -> tuple[ExpectedFinding, ...]:
        """The answers in the order of the form; a partner leaves out no other tests."""
        return expected_findings(self.affected, performer=Performer.SELF)

    @property
    def tests(self) -> tuple[ProvocationTest, ...]:
        return tuple(dict.fromkeys(expected.test for expected in self.asked))

    @property
    def sides(self) -> tuple[Side, Side]:
        return self.affected.other, self.affected


def self_check_pdf(sheet: SelfCheck, paper: Paper) -> bytes:
    """Set the sheet in the patient's language. Raises CannotPrint for a sign the type lacks."""
    with translation.override(sheet.language):
        running = Running.of(sheet, gettext("Self-check"))
        return pdf(self_check_story(sheet, paper), running, paper)


def self_check_story(sheet: SelfCheck, paper: Paper) -> list[Flowable]:
    look = styles(paper.body)
    story = _opening(sheet, look, paper)
    for number, test in enumerate(sheet.tests, start=1):
        story += _test(sheet, number, test, look, paper)
    return [*story, _points(sheet, look, paper), *_closing(sheet, look, paper)]


def _opening(sheet: SelfCheck, look: Styles, paper: Paper) -> list[Flowable]:
    about = gettext("%(elbow)s · self-check at home") % {"elbow": say(sheet.elbow)}
    item = wide(look.item, paper)
    return [
        name(sheet.patient, look),
        para(about, look.soft),
        para(gettext("Check your arm, write it down, bring it back."), look.lead),
        *_not_today(sheet, look, paper),
        together(gettext("While you test"), bullets(words.WHILE_TESTING, item), look),
        together(gettext("Stop at once if"), bullets(words.stop_signs(), item), look),
        # Read with the first thing that is written down, and on one page with it.
        together(
            gettext("What to tick"),
            [*bullets(words.ANSWERS, item), *_resting(look, paper)],
            look,
        ),
    ]


def _not_today(sheet: SelfCheck, look: Styles, paper: Paper) -> list[Flowable]:
    """The emergency number stands in the margin; large print has none, and no room for a larger figure."""
    title, number = gettext("Do not test, and get help at once, if"), sheet.clinic.emergency_phone
    call = para(advice.emergency(number), look.body)
    where, surgery = para(advice.HELP_WHERE, look.body), para(words.SURGERY, look.body)
    signs = [*bullets(advice.HELP_TODAY, look.item), Spacer(1, paper.scaled(5))]
    if paper.large:
        return [together(title, [*signs, where, call], look), surgery]
    notes = [para(gettext("Emergency"), look.note_head), para(number, look.figure), call]
    return titled(title, [*signs, where, surgery], notes, paper, look)


def _resting(look: Styles, paper: Paper) -> list[Flowable]:
    """Pain at rest, then who tests: the first two fields of the form."""
    return [
        para(gettext("First: does your arm hurt at rest?"), look.head),
        rows.rating(gettext("Pain at rest now"), look, paper),
        Spacer(1, 4),
        *(para(sentence, wide(look.body, paper)) for sentence in words.RESTING),
        *rows.done_lines(look, paper),
    ]


def _test(
    sheet: SelfCheck, number: int, test: ProvocationTest, look: Styles, paper: Paper
) -> list[Flowable]:
    """How a test is done, beside its drawings, and a row for each answer.

    On one page; in large print the sore arm of a test finger by finger may follow on the next.
    """
    what = {"number": number, "name": say(words.NAMES[test.code])}
    title = gettext("Test %(number)s: %(name)s") % what
    pictures = rows.positions(test.code, sheet.affected, look, paper)
    taught = _taught(numbered(test.plain, look.item), pictures, paper)
    arms = [_answers(sheet, test, sides, look, paper) for sides in _apart(sheet, test, paper)]
    arms[-1].append(rows.remark(look, paper))
    first, *others = arms
    whole = together(title, [*taught, Spacer(1, 10 if paper.large else 3), *first], look)
    return [whole, *map(KeepTogether, others)]


def _apart(sheet: SelfCheck, test: ProvocationTest, paper: Paper) -> tuple[tuple[Side, ...], ...]:
    other, sore = sheet.sides
    return ((other,), (sore,)) if paper.large and test.fingers else ((other, sore),)


def _answers(
    sheet: SelfCheck, test: ProvocationTest, sides: Sequence[Side], look: Styles, paper: Paper
) -> list[Flowable]:
    asked = (one for one in sheet.asked if one.test is test and one.side in sides)
    return rows.answer_rows([_label(expected, sheet) for expected in asked], look, paper)


def _taught(steps: Sequence[Flowable], pictures: Table, paper: Paper) -> list[Flowable]:
    if paper.large:
        return [*steps, Spacer(1, paper.scaled(4)), pictures]
    across = sum(pictures._colWidths)
    style = TableStyle([*BARE, ("RIGHTPADDING", (0, 0), (0, 0), 8)])
    widths = [paper.width - across, across]
    return [Table([[list(steps), pictures]], colWidths=widths, style=style, hAlign="LEFT")]


def _label(expected: ExpectedFinding, sheet: SelfCheck) -> str:
    arm = _arm(expected.side, sheet)
    if expected.finger is None:
        return arm
    finger = say(words.FINGERS[expected.finger])
    return gettext("%(arm)s, %(finger)s") % {"arm": arm, "finger": finger}


def _arm(side: Side, sheet: SelfCheck) -> str:
    sore = side is sheet.affected
    if side is Side.LEFT:
        return gettext("Left, sore") if sore else gettext("Left")
    return gettext("Right, sore") if sore else gettext("Right")


def _points(sheet: SelfCheck, look: Styles, paper: Paper) -> Flowable:
    """The points that can be found without an examiner; of each the sore arm last, as in the form."""
    found = [words.POINTS[point.code] for point in POINTS if not point.needs_examiner]
    asked = [
        rows.rating(f"{_arm(side, sheet)}: {say(where)}", look, paper)
        for where in found
        for side in sheet.sides
    ]
    told = para(gettext("Press each spot. Circle how much it hurts, 0–10."), look.body)
    return together(gettext("Two spots to press"), [told, *asked], look)


def _closing(sheet: SelfCheck, look: Styles, paper: Paper) -> list[Flowable]:
    phone = {"phone": unbroken(sheet.clinic.phone)}
    told = (
        gettext("Bring this sheet to your next visit. Questions? Call us on %(phone)s.") % phone,
        advice.CAUTION[0],
    )
    parts = [para(sentence, wide(look.body, paper)) for sentence in told]
    done = together(gettext("When you are done"), parts, look)
    return [done, para(words.SOURCES, wide(look.note, paper))]
