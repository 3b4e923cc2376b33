"""What a reader program says first is what stands first: the order of the file is that of the sheet."""

import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from django.utils import translation
from reportlab.platypus import Flowable

from rehab.printing.diary_page import diary_page_pdf, diary_page_story, diary_paper
from rehab.printing.home_program import HomeProgram, home_program_pdf, home_program_story
from rehab.printing.paper import Paper
from tests.rehab.printing.sheets import PAGE, PAPERS, a_diary, a_program, page_texts
from tests.rehab.printing.test_readability import paragraphs


@dataclass(frozen=True)
class Told:
    """A sheet, how it is set, and how it is put together."""

    sheet: object
    set: Callable[..., bytes]
    story: Callable[..., list[Flowable]]
    turned: Callable[[Paper], Paper] = lambda paper: paper


def home_story(sheet: HomeProgram, paper: Paper) -> list[Flowable]:
    return home_program_story(sheet, paper, PAGE)


SHEETS = {
    f"{name}, {language}": told
    for language in ("en", "es")
    for name, told in {
        "home program": Told(a_program(count=4, language=language), home_program_pdf, home_story),
        "diary": Told(a_diary(language=language), diary_page_pdf, diary_page_story, diary_paper),
    }.items()
}


def letters(text: str) -> str:
    return re.sub(r"\s", "", text)


def out_of_order(said: list[str], file: str) -> list[str]:
    """What doesn't follow in the file on what stands before it on the sheet."""
    place, wrong = 0, []
    for words in said:
        found = file.find(words, place)
        if found < 0:
            wrong.append(words)
        else:
            place = found + len(words)
    return wrong


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", SHEETS)
def test_a_reader_says_a_sheet_from_its_beginning_to_its_end(name, paper):
    told = SHEETS[name]
    paper = told.turned(paper)
    with translation.override(told.sheet.language):
        said = [letters(words) for words in paragraphs(told.story(told.sheet, paper)) if words]
    pages = [letters(text) for text in page_texts(told.set(told.sheet, paper))]

    # A paragraph that goes on over a page end is interrupted by foot and head: its beginning counts.
    assert out_of_order([words[:20] for words in said], "".join(pages)) == []
    assert len(said) > 20


@pytest.mark.parametrize("paper", PAPERS)
def test_head_and_foot_are_said_after_the_page(paper):
    pages = page_texts(home_program_pdf(a_program(count=4), paper))

    clinic = [text.rfind("Quayside Clinic Home program") for text in pages]
    assert min(clinic) > 0
    assert [
        text[place:].count("Call us on") for text, place in zip(pages, clinic, strict=True)
    ] == [0] * len(pages)


def test_words_in_another_order_are_found():
    assert out_of_order(["b", "a"], "ab") == ["a"]
    assert out_of_order(["a", "b"], "ab") == []
