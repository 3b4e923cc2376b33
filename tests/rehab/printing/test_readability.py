"""What a patient reads in English is plain, sheet by sheet and card by card, as it is set."""

from collections.abc import Iterable, Iterator

import pytest
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Table

from rehab.clinical.exercises import CARDS, COMMON
from rehab.clinical.lifting import lifting_steps
from rehab.clinical.plain_words import LONGEST_SENTENCE
from rehab.printing import advice
from rehab.printing.appointment_card import appointment_card_story
from rehab.printing.diary_page import diary_page_story, diary_paper
from rehab.printing.home_program import home_program_story
from rehab.printing.letter import LetterPaper
from rehab.printing.paper import Paper
from rehab.printing.referral_letter import FOR_THE_PATIENT
from rehab.printing.refusal_letter import refusal_letter_story
from rehab.printing.return_plan import ReturnPlan, return_plan_story
from rehab.printing.self_check import self_check_story
from rehab.printing.summary import summary_story
from tests.rehab.printing.reading import reading_ease, whole_sentences, words_of
from tests.rehab.printing.sheets import CLINIC, LIMITS, PAGE, a_diary, a_program, an_exercise
from tests.rehab.printing.summaries import FOR_PATIENTS, a_summary
from tests.rehab.printing.test_appointment_card import a_card
from tests.rehab.printing.test_pages import SHEETS
from tests.rehab.printing.test_refusal_letter import KEPT, a_refusal
from tests.rehab.printing.test_return_plan import a_plan, lifting
from tests.rehab.printing.test_self_check import a_sheet

EASE, AVERAGE = 70, 15


def paragraphs(parts: Iterable[object]) -> Iterator[str]:
    """The text of every paragraph, those in tables and kept together too."""
    for part in parts:
        if isinstance(part, Paragraph):
            yield " ".join(part.getPlainText().split())
        elif isinstance(part, KeepTogether):
            yield from paragraphs(part._content)
        elif isinstance(part, Table):
            yield from paragraphs(cell for row in part._cellvalues for cell in row)
        elif isinstance(part, list | tuple):
            yield from paragraphs(part)


def said(story: list[Flowable]) -> str:
    """The sentences of a sheet. Headings, labels and names would count as very short ones; where
    figures come from is for whoever looks them up."""
    cited = {" ".join(str(source).split()) for source in advice.sources(LIMITS)}
    texts = (text.replace("\u00a0", " ") for text in paragraphs(story))
    return " ".join(text for text in texts if text.endswith((".", "?", "!")) and text not in cited)


def programs() -> list[str]:
    exercises = tuple(an_exercise(card) for card in CARDS)
    parts = [a_program(exercises=exercises[:8], remark=""), a_program(exercises=exercises[8:])]
    unbooked = a_program(exercises=exercises[:1], next_visit=None, training_days="Monday")
    return [said(home_program_story(sheet, Paper(), PAGE)) for sheet in (*parts, unbooked)]


def diaries() -> list[str]:
    pages = (a_diary(), a_diary(next_visit=None), a_diary(sets=30), a_diary(holds=True, count=1))
    return [said(diary_page_story(page, diary_paper(Paper()))) for page in pages]


def return_plans(*plans: ReturnPlan) -> list[str]:
    return [said(return_plan_story(plan, Paper(), height=700)) for plan in plans]


def appointment_cards() -> list[str]:
    some = (a_card(more=True), a_card(1), a_card(0))
    return [said(appointment_card_story(card, Paper(), height=700)) for card in some]


def refusals() -> list[str]:
    """But for what was asked and why not, which is typed."""
    told = (a_refusal(what="", because=""), a_refusal(**KEPT | {"because": ""}))
    return [said(refusal_letter_story(letter, LetterPaper())) for letter in told]


def summaries() -> list[str]:
    return [said(summary_story(a_summary(**changes), Paper())) for changes in FOR_PATIENTS]


def cards() -> list[str]:
    return [
        " ".join([*map(str, card.dose.lines()), *(str(words) for words in card.for_patients)])
        for card in CARDS
    ]


TEXTS = {
    "home program": programs,
    "diary page": diaries,
    "racket plan": lambda: return_plans(a_plan()),
    "lifting plan": lambda: return_plans(
        lifting(), lifting(steps=lifting_steps(10.0), job_kg=10.0)
    ),
    "self-check sheet": lambda: [said(self_check_story(a_sheet(), Paper()))],
    "appointment card": appointment_cards,
    "course summary": summaries,
    "exercise cards": cards,
    # The rest of a letter is the doctor's to read.
    "referral letter": lambda: [FOR_THE_PATIENT % {"phone": CLINIC.emergency_phone}],
    "letter about a refused request": refusals,
    "rules for every exercise": lambda: [" ".join(COMMON)],
}
each_kind = pytest.mark.parametrize("kind", TEXTS)


def test_every_sheet_has_its_text_here():
    assert [name for name in SHEETS if name not in TEXTS] == []


@each_kind
def test_the_text_reads_easily(kind):
    assert min(map(reading_ease, TEXTS[kind]())) >= EASE


@each_kind
def test_no_sentence_is_too_long(kind):
    sentences = [one for text in TEXTS[kind]() for one in whole_sentences(text)]

    assert [one for one in sentences if len(words_of(one)) > LONGEST_SENTENCE.value] == []


@each_kind
def test_sentences_are_short_on_average(kind):
    for text in TEXTS[kind]():
        assert len(words_of(text)) / len(whole_sentences(text)) <= AVERAGE


def test_the_whole_of_a_sheet_is_measured():
    text = programs()[0]
    rules = [*advice.stop_signs(LIMITS), *advice.HELP_TODAY, *advice.EXPECT, *advice.WHY, *COMMON]

    assert [str(rule) for rule in rules if str(rule) not in text] == []
    assert (CLINIC.phone in text, "doi" in text) == (True, False)
