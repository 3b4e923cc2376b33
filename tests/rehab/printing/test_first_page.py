"""When to stop, to get help and to call, with the emergency number: on the first page of every paper."""

import io
from dataclasses import replace

import pdfplumber
import pytest
from django.utils import translation

from clinic.templatetags.clinic_tags import say
from rehab.printing import advice
from rehab.printing.home_program import HomeProgram
from rehab.printing.paper import LETTER, Paper, styles
from tests.clinic.logos import png
from tests.rehab.printing.sheets import (
    CLINIC,
    LIMITS,
    PAPERS,
    TODAY,
    a_program,
    opened,
    page_texts,
    printed_program,
)
from tests.rehab.printing.test_pages import LONG_NAME, REMARK, WORDY

CONTENTS = {
    "usual": {},
    "twelve exercises": {"exercises": WORDY},
    "not booked": {"next_visit": None},
    "strict": {"limits": replace(LIMITS, settled_up_to=2, too_much_from=3)},
    "a name of 62 letters": {
        "patient": "Anneliese Philippa Konstanze von Hohenbrückenfels-Straatmeijer"
    },
    "an address of four lines": {
        "clinic": replace(
            CLINIC,
            address="Second floor, Sailmakers' House\n14 Upper Harbor Road\nSandhaven by the Sea\nSH4 7QQ",
        )
    },
    "a high logo": {"clinic": replace(CLINIC, logo=png(1000, 1000))},
}
WORST = {"patient": LONG_NAME, "exercises": WORDY, "remark": REMARK, "next_visit": None}

on_each_paper = pytest.mark.parametrize("paper", PAPERS)
in_each_language = pytest.mark.parametrize("language", ["en", "es"])


def urgent(sheet: HomeProgram) -> list[str]:
    number = sheet.clinic.emergency_phone
    signs = [*advice.stop_signs(sheet.limits), *advice.HELP_TODAY]
    return [say(words) for words in (*signs, advice.HELP_WHERE, advice.emergency(number))]


def calls(sheet: HomeProgram) -> list[str]:
    return [say(words) for words in advice.call_us(sheet.review_weeks)]


def first_page(sheet: HomeProgram, paper: Paper) -> str:
    return page_texts(printed_program(sheet, paper))[0]


@on_each_paper
@in_each_language
@pytest.mark.parametrize("content", CONTENTS)
def test_all_the_rules_stand_on_the_first_page(paper, language, content):
    sheet = a_program(language=language, **CONTENTS[content])
    text = first_page(sheet, paper)

    with translation.override(language):
        rules = [*urgent(sheet), *calls(sheet)]
    assert [rule for rule in rules if rule not in text] == []
    assert sheet.clinic.phone in text


@on_each_paper
@in_each_language
def test_at_worst_the_call_list_alone_stands_on_the_next_page(paper, language):
    """A name of 127 letters takes room that no paper has left."""
    sheet = a_program(language=language, **WORST)
    text = first_page(sheet, paper)

    with translation.override(language):
        assert [rule for rule in urgent(sheet) if rule not in text] == []
        assert [rule for rule in calls(sheet) if rule in text] == []


@on_each_paper
def test_what_is_more_urgent_comes_first(paper):
    sheet = a_program()
    text = first_page(sheet, paper)

    stop, help_today, call = advice.stop_signs(LIMITS), advice.HELP_TODAY, calls(sheet)
    places = [text.find(str(words)) for words in (*stop, *help_today, *call)]
    assert places == sorted(places)


@on_each_paper
def test_the_rules_are_listed_for_jumping_to(paper):
    data = opened(printed_program(a_program(), paper))
    listed = [entry for entry in data.outline if data.get_destination_page_number(entry) == 0]

    assert [entry.title.replace("\u00a0", " ") for entry in listed][:3] == [
        "Stop the exercise at once if",
        "Get help the same day if",
        "Call us on +44 1632 960001 if",
    ]


@on_each_paper
def test_the_emergency_number_stands_out(paper):
    with pdfplumber.open(io.BytesIO(printed_program(a_program(), paper))) as pdf:
        size = round(styles(paper.body).figure.fontSize, 1)
        standing_out = [sign for sign in pdf.pages[0].chars if round(sign["size"], 1) == size]

    assert "".join(sign["text"] for sign in standing_out) == "112"


@pytest.mark.parametrize("paper", [Paper(), Paper(page=LETTER)])
def test_the_levels_of_pain_stand_in_brief_on_the_first_page(paper):
    text = first_page(a_program(), paper)

    assert (
        "Pain 0–3 Go on. Pain 4–5 Do the same again. Pain 6–10 Stop for today. "
        "Stop the exercise at once if" in text
    )


def test_a_level_without_a_range_is_left_out_in_brief():
    strict = replace(LIMITS, settled_up_to=2, too_much_from=3)
    text = first_page(a_program(limits=strict), Paper())

    assert "Pain 0–2 Go on. Pain 3–10 Stop for today." in text


@on_each_paper
def test_the_whole_pain_rule_comes_before_the_exercises(paper):
    sheet = a_program(on=TODAY)
    pages = page_texts(printed_program(sheet, paper))
    text = " ".join(pages)

    told = [
        str(words) for level in advice.pain_levels(LIMITS) for words in (*level.when, level.act)
    ]
    assert max(text.find(words) for words in told) < text.find("1. Lower slowly")
    assert [words for words in told if words not in text] == []
