"""Every patient sheet as it lies on the page: where each sign is, how large, and in which type."""

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from importlib import import_module
from inspect import signature
from pkgutil import iter_modules

import pdfplumber
import pytest
from reportlab.pdfgen.canvas import Canvas

from rehab import printing
from rehab.clinical.exercises import CARDS
from rehab.printing.appointment_card import appointment_card_pdf
from rehab.printing.diary_page import diary_page_pdf, diary_paper
from rehab.printing.fonts import CannotPrint
from rehab.printing.home_program import home_program_pdf
from rehab.printing.paper import A4, LARGE, LETTER, NORMAL, Paper
from rehab.printing.referral_letter import referral_letter_pdf
from rehab.printing.refusal_letter import refusal_letter_pdf
from rehab.printing.return_plan import return_plan_pdf
from rehab.printing.self_check import self_check_pdf
from rehab.printing.summary import summary_pdf
from tests.rehab.printing.sheets import (
    CLINIC,
    VISIT,
    a_diary,
    a_program,
    an_exercise,
    opened,
    text_of,
)
from tests.rehab.printing.summaries import a_summary, at_its_longest
from tests.rehab.printing.test_appointment_card import a_card
from tests.rehab.printing.test_referral_letter import FACTS, a_letter, asked
from tests.rehab.printing.test_refusal_letter import a_refusal
from tests.rehab.printing.test_return_plan import a_plan, lifting
from tests.rehab.printing.test_self_check import a_sheet

LONG_NAME = f"{'Maximiliana ' * 4}{'Theodora' * 5} {'Schwarzenberg-' * 5}Oyelaran"
GREEK_AND_CYRILLIC = "Δέσποινα Преображенская"
REMARK = ("Take the stairs of the quay slowly and keep the strap outside. " * 64)[:4000]
TYPED = {
    "patient", "record", "name", "address", "phone", "emergency_phone", "practitioner", "remark",
    "what", "because",
    "start", "usual_mistake", "caution", "equipment", "issued_by", "registration_number", "exercise",
}  # fmt: skip
WORDY_CLINIC = replace(
    CLINIC,
    name="Physiotherapy Practice for Arm and Hand at the Old Rope Factory beside the Harbor",
    address="Second courtyard, entrance from the quay\n118 Rope Makers' Lane\n24105 Sandhaven",
)
LONG_NAMED = (replace(VISIT, practitioner=f"Dr. {LONG_NAME}"),) * 6
WORDY = tuple(an_exercise(card, remark="Hold the hammer short. " * 13) for card in CARDS[:12])


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """How a sheet is set, its usual content and its worst, and the title of its file."""

    set: Callable[..., bytes]
    make: Callable[..., object]
    worst: dict[str, object]
    title: str

    def printed(self, content: str, paper: Paper) -> bytes:
        return self.set(self.make(**self.contents()[content]), self.turned(paper))

    def turned(self, paper: Paper) -> Paper:
        return diary_paper(paper) if self.set is diary_page_pdf else paper

    def contents(self) -> dict[str, dict[str, object]]:
        return {
            "usual": {},
            "worst": {"patient": LONG_NAME, **self.worst},
            "other letters": {"patient": GREEK_AND_CYRILLIC},
            "in Spanish": {"language": "es"},
        }


SHEETS = {
    "home program": Sheet(
        set=home_program_pdf,
        make=a_program,
        worst={"exercises": WORDY, "remark": REMARK, "next_visit": None},
        title="Home program 2, 0217",
    ),
    "diary page": Sheet(
        set=diary_page_pdf,
        make=a_diary,
        worst={"days": 42, "sets": 10, "holds": True, "next_visit": None, "count": 12},
        title="Diary 2, 0217",
    ),
    "racket plan": Sheet(set=return_plan_pdf, make=a_plan, worst={}, title="Return plan 12, 0217"),
    "lifting plan": Sheet(
        set=return_plan_pdf, make=lifting, worst={}, title="Return plan 12, 0217"
    ),
    "referral letter": Sheet(
        set=referral_letter_pdf,
        make=a_letter,
        worst={
            "facts": FACTS * 2,
            "writer": LONG_NAME,
            "asked": asked(address=f"{LONG_NAME}\n{'Long Quay ' * 17}", remark=REMARK),
        },
        title="Referral letter 12 Mar 2026, 0217",
    ),
    "letter about a refused request": Sheet(
        set=refusal_letter_pdf,
        make=a_refusal,
        worst={
            "what": REMARK,
            "because": f"{REMARK}"[:500],
            "decided_by": LONG_NAME,
            "clinic": WORDY_CLINIC,
        },
        title="Your request 12 Mar 2026, 0217",
    ),
    "self-check sheet": Sheet(
        set=self_check_pdf,
        make=a_sheet,
        worst={"language": "es", "clinic": WORDY_CLINIC},
        title="Self-check 12 Mar 2026, 0217",
    ),
    "appointment card": Sheet(
        set=appointment_card_pdf,
        make=a_card,
        worst={"appointments": LONG_NAMED, "more": True, "clinic": WORDY_CLINIC},
        title="Appointments 12 Mar 2026, 0217",
    ),
    "course summary": Sheet(
        set=summary_pdf,
        make=a_summary,
        worst=at_its_longest(),
        title="Course summary 12 Mar 2026, 0217",
    ),
}
# A letter to a doctor is written in the clinic's language.
TRANSLATED = {name: sheet for name, sheet in SHEETS.items() if name != "referral letter"}
PAPERS = {
    f"{name} {body} pt": Paper(page=page, body=body)
    for name, page in (("A4", A4), ("Letter", LETTER))
    for body in (NORMAL, LARGE)
}
# Points of a heading: in large print it is set anew, not enlarged with the text.
HEAD = {NORMAL: 16, LARGE: 20.8}
# In large print these open a paragraph, in its size.
IN_TEXT = ("Stoptheexercise", "Gethelpthesame", "Calluson")
CONTENTS = [
    (name, content)
    for name, sheet in SHEETS.items()
    for content in sheet.contents()
    if content != "in Spanish" or name in TRANSLATED
]

on_each_paper = pytest.mark.parametrize("paper", PAPERS)
each_sheet = pytest.mark.parametrize("sheet", SHEETS)
each_sheet_with_each_content = pytest.mark.parametrize(("sheet", "content"), CONTENTS)


@cache
def printed(sheet: str, content: str, paper: str) -> bytes:
    return SHEETS[sheet].printed(content, PAPERS[paper])


@cache
def lines_of(sheet: str, content: str, paper: str) -> tuple[tuple[list[dict], ...], ...]:
    """Page by page, the runs of text that stand on one line, each as its signs."""
    with pdfplumber.open(io.BytesIO(printed(sheet, content, paper))) as pdf:
        return tuple(tuple(runs(page.chars)) for page in pdf.pages)


def runs(signs: list[dict]) -> list[list[dict]]:
    """Signs that follow one another on one base line, without blanks."""
    found: list[list[dict]] = []
    for sign in signs:
        if not sign["text"].strip():
            continue
        last = found[-1][-1] if found else None
        follows = last and base(last) == base(sign) and 0 <= sign["x0"] - last["x1"] + 1 < 12
        if follows:
            found[-1].append(sign)
        else:
            found.append([sign])
    return found


def base(sign: dict) -> float:
    return round(sign["matrix"][5], 1)


def words(run: list[dict]) -> str:
    return "".join(sign["text"] for sign in run)


def ink(run: list[dict]) -> tuple[float, float, float, float]:
    """Where a run of text lies: left, right, and from its depth to the height of its capitals.

    The boxes of the type reach higher and lower than its letters do, so that boxes of lines that
    are set apart would touch.
    """
    size = max(sign["size"] for sign in run)
    return run[0]["x0"], run[-1]["x1"], base(run[0]) - 0.21 * size, base(run[0]) + 0.66 * size


def cross(one: list[dict], other: list[dict]) -> bool:
    left, right, low, high = ink(one)
    its_left, its_right, its_low, its_high = ink(other)
    beside = right <= its_left + 0.5 or its_right <= left + 0.5
    return not (beside or high <= its_low + 0.1 or its_high <= low + 0.1)


def test_every_sheet_in_a_patients_print_size_is_measured():
    modules = [
        import_module(f"rehab.printing.{one.name}") for one in iter_modules(printing.__path__)
    ]
    found = {
        setter
        for module in modules
        for name, setter in vars(module).items()
        if name.endswith("_pdf") and "paper" in signature(setter).parameters
    }

    assert found == {sheet.set for sheet in SHEETS.values()}


@each_sheet_with_each_content
@on_each_paper
def test_no_line_of_text_lies_on_another(sheet, content, paper):
    crossed = [
        (number, words(one), words(other))
        for number, lines in enumerate(lines_of(sheet, content, paper), start=1)
        for place, one in enumerate(lines)
        for other in lines[place + 1 :]
        if cross(one, other)
    ]

    assert crossed == []


@each_sheet_with_each_content
@on_each_paper
def test_every_sign_lies_within_the_margins(sheet, content, paper):
    turned = SHEETS[sheet].turned(PAPERS[paper])
    (across, tall), edge = turned.size, turned.edge
    outside = [
        words(run)
        for lines in lines_of(sheet, content, paper)
        for run in lines
        for left, right, low, high in [ink(run)]
        if left < edge - 0.5 or right > across - edge + 0.5
        or low < edge * 0.7 - 4 or high > tall - edge * 0.7 + 0.5
    ]  # fmt: skip

    assert outside == []


@each_sheet_with_each_content
@on_each_paper
def test_text_is_as_large_as_asked_but_in_head_and_foot(sheet, content, paper):
    running = 10 if PAPERS[paper].body == NORMAL else 14
    for lines in lines_of(sheet, content, paper):
        sizes = [round(run[0]["size"], 1) for run in lines]
        body = [size for size in sizes if size != running]

        assert min(body) >= PAPERS[paper].body
        # Head and foot are drawn last, in one piece.
        assert sizes[len(body) :] == [running] * (len(sizes) - len(body))


def counts(number: int, pages: int) -> tuple[str, str]:
    """Page n of m in both languages, without blanks."""
    return f"page{number}of{pages}", f"página{number}de{pages}"


@each_sheet_with_each_content
@on_each_paper
def test_every_page_counts_itself(sheet, content, paper):
    pages = lines_of(sheet, content, paper)
    counted = [
        any(words(run).endswith(counts(number, len(pages))) for run in lines)
        for number, lines in enumerate(pages, start=1)
    ]

    assert counted == [True] * len(pages)


@each_sheet
@on_each_paper
def test_all_type_is_in_the_file(sheet, paper):
    fonts = [
        font.get_object()
        for page in opened(printed(sheet, "worst", paper)).pages
        for font in page["/Resources"]["/Font"].values()
    ]

    assert {"/FontFile2" in font.get("/FontDescriptor", {}) for font in fonts} == {True}


@each_sheet
@on_each_paper
def test_the_file_says_its_language_title_and_author(sheet, paper):
    pdf = opened(printed(sheet, "usual", paper))

    assert (pdf.root_object["/Lang"], pdf.metadata.title, pdf.metadata.author) == (
        "en",
        SHEETS[sheet].title,
        "Quayside Clinic",
    )


@each_sheet
@on_each_paper
def test_every_heading_is_listed_with_its_page(sheet, paper):
    pdf, size = opened(printed(sheet, "worst", paper)), HEAD[PAPERS[paper].body]
    listed = [""] * len(pdf.pages)
    for entry in pdf.outline:
        title = "".join(entry.title.split())
        if not (PAPERS[paper].body == LARGE and title.startswith(IN_TEXT)):
            listed[pdf.get_destination_page_number(entry)] += title
    pages = lines_of(sheet, "worst", paper)
    heads = [
        "".join(words(run) for run in page if round(run[0]["size"], 1) == size) for page in pages
    ]

    assert listed == heads


@pytest.mark.parametrize(("up", "crossed"), [(0, True), (7, True), (11, False)])
def test_lines_on_one_another_are_found(up, crossed):
    file = io.BytesIO()
    canvas = Canvas(file)
    canvas.drawString(100, 100, "below")
    canvas.drawString(105, 100 + up, "above")
    canvas.save()
    with pdfplumber.open(file) as pdf:
        below, above = runs(pdf.pages[0].chars)

    assert cross(below, above) is crossed


@each_sheet
@pytest.mark.parametrize(
    ("name", "sign"), [("محمد", "arabic letter meem"), ("प्रिया", "devanagari letter pa")]
)
def test_a_name_that_needs_shaping_is_refused_in_a_sentence(sheet, name, sign):
    with pytest.raises(CannotPrint) as refusal:
        SHEETS[sheet].set(SHEETS[sheet].make(patient=name), Paper())

    assert str(refusal.value) == (
        f"“{name}” can't be printed: the type has no sign for “{name[0]}” ({sign}). "
        "Write it in Latin, Greek or Cyrillic letters."
    )


def typed_words(content: object, place: tuple = ()) -> Iterator[tuple]:
    """Where in a sheet's content there is something that a person typed."""
    for name, part in parts_of(content):
        if isinstance(part, str) and name in TYPED:
            yield (*place, name)
        yield from typed_words(part, (*place, name))


def parts_of(content: object) -> list[tuple]:
    if is_dataclass(content):
        return [(field.name, getattr(content, field.name)) for field in fields(content)]
    return list(enumerate(content)) if isinstance(content, tuple) else []


def spoiled(content: object, place: tuple) -> object:
    """The content with a name in another script at a place in it."""
    if not place:
        return "محمد"
    first, *others = place
    parts = {
        name: spoiled(part, others) if name == first else part for name, part in parts_of(content)
    }
    return replace(content, **parts) if is_dataclass(content) else tuple(parts.values())


@each_sheet
def test_whatever_is_typed_is_legible_or_refused(sheet):
    content, asked = SHEETS[sheet].make(), SHEETS[sheet].turned(Paper())
    printed_words = text_of(SHEETS[sheet].set(content, asked))
    refused = 0
    for place in typed_words(content):
        try:
            text = text_of(SHEETS[sheet].set(spoiled(content, place), asked))
        except CannotPrint:
            refused += 1
        else:
            # What is not on this sheet spoils nothing.
            assert text == printed_words, place

    assert refused >= 4
