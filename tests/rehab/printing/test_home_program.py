"""The home program, read back from the PDF."""

import datetime
import io
import re
from dataclasses import replace

import pdfplumber
import pytest

from rehab.clinical.daily_life import TIPS
from rehab.clinical.exercises import CARDS
from rehab.printing import advice
from rehab.printing.fonts import CannotPrint
from rehab.printing.home_program import home_program_pdf
from rehab.printing.paper import A4, LARGE, LETTER, NORMAL, Paper
from tests.rehab.printing.sheets import (
    PAPERS,
    a_program,
    an_exercise,
    fonts_of,
    opened,
    page_texts,
    printed_program,
    sizes_of,
    text_of,
)

SMALL_LARGE = PAPERS[-1]
NAMES = [
    "Marit Oyelaran",
    "Дмитрий Преображенский",
    "Δέσποινα Παπαδοπούλου",
    "Željko Đorđević-Ștefan",
]
REMARK = "Take the stairs of the quay slowly and keep the strap outside. " * 63


def said_by(sheet) -> list[str]:
    """Every sentence of the sheet that must be found on paper."""
    levels = advice.pain_levels(sheet.limits)
    words = [
        sheet.patient,
        *(sentence for level in levels for sentence in (level.word, *level.when, level.act)),
        *advice.stop_signs(sheet.limits),
        advice.HELP_WHERE,
        *advice.HELP_TODAY,
        advice.emergency(sheet.clinic.emergency_phone),
        *advice.call_us(sheet.review_weeks),
        *advice.WHY,
        *advice.EXPECT,
        *advice.CAUTION,
        *(sentence for tip in TIPS for sentence in tip.sentences),
        *advice.sources(sheet.limits),
        sheet.remark,
    ]
    for exercise in sheet.exercises:
        words += [exercise.name, exercise.headline, *exercise.dose, exercise.start, *exercise.steps]
        words += [exercise.usual_mistake, exercise.caution, exercise.equipment, exercise.remark]
    return [" ".join(str(word).split()) for word in words]


def missing_from(data, sheet) -> list[str]:
    # A line may end at the hyphen of a word.
    text = text_of(data).replace("- ", "-")
    return [words for words in said_by(sheet) if words not in text]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [1, 3, 6, 12])
def test_everything_the_program_says_is_on_paper(paper, count):
    sheet = a_program(count=count)

    assert missing_from(printed_program(sheet, paper), sheet) == []


@pytest.mark.parametrize("name", NAMES)
def test_names_in_latin_greek_and_cyrillic_are_legible(name):
    data = printed_program(a_program(patient=name), Paper())

    assert page_texts(data)[0].startswith(name)


@pytest.mark.parametrize(
    ("name", "sign"),
    [("王芳", "“王” (cjk unified ideograph-738b)"), ("Ana 🙂", "“🙂” (slightly smiling face)")],
)
def test_a_name_that_the_type_lacks_is_refused_with_the_sign(name, sign):
    with pytest.raises(CannotPrint) as refusal:
        home_program_pdf(a_program(patient=name), Paper())

    assert str(refusal.value) == (
        f"“{name}” can't be printed: the type has no sign for {sign}. "
        "Write it in Latin, Greek or Cyrillic letters."
    )


def test_a_letter_written_in_two_parts_is_joined():
    data = printed_program(a_program(patient="Andre\u0301"), Paper())

    assert page_texts(data)[0].startswith("André ")


def test_markup_in_a_remark_is_printed_as_typed():
    data = printed_program(a_program(remark="Use <b>less</b> & rest\r\nthen go on"), Paper())

    assert "Use <b>less</b> & rest then go on" in text_of(data)


def test_the_next_visit_stands_on_the_first_page():
    data = printed_program(a_program(), Paper())

    assert (
        "Your next visit is on Thursday, 26 Mar 2026 at 09:30, with Ida Solvang."
        in page_texts(data)[0]
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_the_number_to_call_stays_on_one_line(paper):
    data = printed_program(a_program(next_visit=None, language="es"), paper)
    lines = [line for page in opened(data).pages for line in page.extract_text().splitlines()]

    dialed = [line.replace("\u00a0", " ") for line in lines if "+44" in line]
    assert dialed
    assert [line for line in dialed if "+44 1632 960001" not in line] == []


def test_each_advice_for_daily_life_is_printed_with_its_source_and_status():
    text = text_of(printed_program(a_program(), Paper())).replace("\u00a0", " ")

    assert "What helps in daily life • Lift with your palm up and your elbow bent." in text
    assert "Lifting: NHS provider, chcpmsk.org.uk (published, read second-hand)." in text
    assert "Breaks: common practice, no source." in text


def test_without_a_booking_the_first_page_says_whom_to_call():
    data = printed_program(a_program(next_visit=None), Paper())

    assert "Your next visit is not booked yet. Please call +44 1632 960001." in page_texts(data)[0]


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_ends_with_whose_it_is_and_where_it_belongs(paper):
    pages = page_texts(printed_program(a_program(), paper))

    for number, text in enumerate(pages, start=1):
        assert text.endswith(
            "Quayside Clinic Home program Marit Oyelaran · record 0217 · 12 Mar 2026 "
            f"Program 2 · page {number} of {len(pages)} 1 Harbor Road, Sandhaven, +44 1632 960001"
        )


@pytest.mark.parametrize("paper", PAPERS)
def test_no_exercise_is_cut_by_a_page_end(paper):
    cards = [an_exercise(card, remark="Hold the hammer short. " * 13) for card in CARDS[:12]]
    pages = page_texts(printed_program(a_program(exercises=tuple(cards)), paper))

    for exercise in cards:
        own = [exercise.name, *exercise.steps, exercise.usual_mistake, exercise.equipment]
        on = {n for n, text in enumerate(pages) if f" {exercise.name} " in f" {text} "}
        assert any(all(str(words) in pages[n] for words in own) for n in on), exercise.name


def test_a_remark_of_four_thousand_signs_is_whole():
    data = printed_program(a_program(remark=REMARK), Paper())

    printed = text_of(data).count("Take the stairs") + text_of(data).count("Take the Quayside")
    assert (len(REMARK), printed) == (3969, 63)


def test_a_name_of_many_letters_is_whole_and_leaves_room():
    name = (
        "Alexandrina Maximiliana Theodolinde Wilhelmina " * 2
        + "Schwarzenberg von der Stadt am Hafen"
    )
    pages = page_texts(printed_program(a_program(patient=name), Paper()))

    assert pages[0].startswith(name)
    assert name in pages[-1]


@pytest.mark.parametrize("paper", PAPERS)
def test_only_the_embedded_family_is_used(paper):
    fonts = fonts_of(printed_program(a_program(), paper))

    assert {name.split("+")[1]: inside for name, inside in fonts.items()} == {
        "SourceSans3-Regular": True,
        "SourceSans3-Semibold": True,
        "SourceSans3-Light": True,
    }


@pytest.mark.parametrize(
    ("paper", "sizes"), [(Paper(), (10, 12, 30)), (Paper(body=LARGE), (14, 18, 39))]
)
def test_text_is_never_smaller_than_the_print_size_but_in_head_and_foot(paper, sizes):
    found = sorted(sizes_of(printed_program(a_program(), paper)))

    assert (found[0], found[1], found[-1]) == sizes


def lines_that_end(data) -> set[str]:
    return {
        line.strip() for page in opened(data).pages for line in page.extract_text().splitlines()
    }


def test_large_print_is_set_anew_and_not_enlarged():
    normal, large = (printed_program(a_program(), Paper(body=body)) for body in (NORMAL, LARGE))

    assert (sorted(sizes_of(normal)), sorted(sizes_of(large))) == (
        [10, 12, 16, 17, 20, 28, 30],
        [14, 18, 20.8, 22.1, 26, 36.4, 39],
    )
    # An enlarged page would keep its lines; here they break anew, and few long ones stay the same.
    long = {line for line in lines_that_end(normal) if len(line) > 40}
    assert len(long & lines_that_end(large)) < len(long) / 2


def test_the_file_says_its_language_title_and_author():
    pdf = opened(printed_program(a_program(language="es"), Paper()))

    assert pdf.root_object["/Lang"] == "es"
    assert pdf.metadata.title.endswith("2, 0217")
    assert pdf.metadata.author == "Quayside Clinic"
    assert "Oyelaran" not in pdf.metadata.title


def test_the_page_is_the_one_asked_for():
    boxes = [
        opened(printed_program(a_program(), Paper(page=page))).pages[0].mediabox[2:]
        for page in (A4, LETTER)
    ]

    assert [tuple(round(float(side)) for side in box) for box in boxes] == [(595, 842), (612, 792)]


def test_the_headings_are_listed_for_jumping_to():
    outline = opened(printed_program(a_program(), Paper())).outline

    assert [entry.title.replace("\u00a0", " ") for entry in outline][:4] == [
        "Stop the exercise at once if",
        "Get help the same day if",
        "Call us on +44 1632 960001 if",
        "From Ida Solvang",
    ]


def test_the_writer_signs_with_date_and_number():
    sheet = a_program(issued_on=datetime.date(2026, 3, 11))
    unregistered = replace(sheet, registration_number="")

    assert "Ida Solvang, registration PH-1001, 11 Mar 2026." in text_of(
        printed_program(sheet, Paper())
    )
    assert "Ida Solvang, 11 Mar 2026." in text_of(printed_program(unregistered, Paper()))


def test_the_days_for_training_stand_in_the_opening():
    some = a_program(training_days="Monday, Wednesday and Friday")

    opening = (
        "You have 3 exercises. Your days for them: Monday, Wednesday and Friday. Your next visit"
    )
    assert opening in text_of(printed_program(some, Paper()))
    assert "Your days" not in text_of(printed_program(a_program(), Paper()))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_the_sources_are_not_on_a_page_alone(paper, language, count):
    """But where they fill a page: the Spanish ones do in large print on a letter."""
    pages = page_texts(printed_program(a_program(language=language, count=count), paper))
    alone = not re.search("Written by|Escrito por", pages[-1])

    assert alone is (paper.large and paper.page == LETTER and language == "es")


def test_an_end_that_is_longer_than_a_page_does_not_begin_on_one_alone():
    long = replace(a_program().limits, source="Harbor 2020, J Quay Wall 12:345–367; " * 8)
    sheet = a_program(limits=long, count=2)
    *_others, before, last = page_texts(printed_program(sheet, Paper(page=LETTER)))

    assert ("What to expect" in before, "Good to know" in before) == (True, True)
    assert last.startswith("Written by")


@pytest.mark.parametrize(
    ("paper", "language", "above"), [(Paper(body=LARGE), "en", True), (SMALL_LARGE, "es", False)]
)
def test_in_large_print_a_list_has_its_title_above_it_where_there_is_room(paper, language, above):
    data = printed_program(a_program(language=language), paper)
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        lines = {line["text"] for line in pdf.pages[0].extract_text_lines()}

    titles = {"Stop the exercise at once if", "Deje el ejercicio de inmediato si"}
    assert bool(lines & titles) is above
