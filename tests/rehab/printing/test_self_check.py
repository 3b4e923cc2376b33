"""The self-check sheet, read back from the PDF."""

import re
from functools import cache

import pytest
from django.utils import translation
from django.utils.translation import gettext

from cases.clinical.battery_tests import BATTERY
from cases.clinical.findings import Performer, expected_findings
from cases.clinical.palpation import POINTS
from cases.clinical.sides import Side
from clinic.templatetags.clinic_tags import say
from rehab.printing import advice, self_check_words
from rehab.printing import self_check_rows as rows
from rehab.printing.fonts import CannotPrint
from rehab.printing.self_check import SelfCheck, self_check_pdf
from tests.rehab.printing.reading import reading_ease, sentences_of, words_of
from tests.rehab.printing.sheets import (
    CLINIC,
    LIMITS,
    PAPERS,
    TODAY,
    fonts_of,
    opened,
    page_texts,
    sizes_of,
    text_of,
)

AT_HOME = [test for test in BATTERY if not test.needs_examiner]
printed = cache(self_check_pdf)


def a_sheet(**changes) -> SelfCheck:
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        affected=Side.RIGHT,
        elbow="Right elbow",
        language="en",
        on=TODAY,
    )
    return SelfCheck(**(usual | changes))


def own_words() -> list[str]:
    """What the sheet says beside the tests' own steps."""
    own = self_check_words
    told = (own.SURGERY, *own.RESTING, *own.WHILE_TESTING, *own.stop_signs(), *own.ANSWERS)
    return [say(words) for words in told]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_tests_stand_in_the_order_of_the_form_with_their_steps(paper):
    text = text_of(printed(a_sheet(), paper))
    steps = [step for test in AT_HOME for step in test.plain]
    places = [text.find(step) for step in steps]

    assert len(steps) == 12
    assert -1 not in places
    assert places == sorted(places)


@pytest.mark.parametrize("performer", [Performer.SELF, Performer.PARTNER])
def test_alone_and_with_a_partner_the_form_asks_what_the_sheet_asks(performer):
    asked = expected_findings(Side.LEFT, performer=performer)

    assert a_sheet(affected=Side.LEFT).asked == asked
    assert [test.code for test in a_sheet().tests] == [test.code for test in AT_HOME]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    ("affected", "labels"),
    [(Side.RIGHT, ("Left", "Right, sore")), (Side.LEFT, ("Right", "Left, sore"))],
)
def test_every_answer_has_its_row_the_arm_that_does_not_hurt_first(paper, affected, labels):
    text = text_of(printed(a_sheet(affected=affected), paper))
    fingers = [
        f"{arm}, {finger}" for arm in labels for finger in ("index", "middle", "ring", "little")
    ]
    found = re.findall(r"(?:Left|Right)(?:, sore)?, (?:index|middle|ring|little)", text)

    assert found == fingers


@pytest.mark.parametrize("paper", PAPERS)
def test_each_answer_and_the_pain_at_rest_have_a_scale(paper):
    text = text_of(printed(a_sheet(), paper))
    points = [point for point in POINTS if not point.needs_examiner]

    scales = text.count("0 1 2 3 4 5 6 7 8 9 10")
    assert scales == 1 + len(a_sheet().asked) + 2 * len(points)


@pytest.mark.parametrize("paper", PAPERS)
def test_pain_at_rest_comes_before_who_tested_and_before_the_first_test(paper):
    text = text_of(printed(a_sheet(), paper))
    parts = ("Pain at rest now", "Any number but 0?", "Tests done", "Date", "Test 1:", "Test 4:")
    places = [text.find(part) for part in parts]

    assert -1 not in places
    assert places == sorted(places)


def test_what_needs_an_examiner_and_what_it_means_is_not_on_the_sheet():
    text = text_of(printed(a_sheet(), PAPERS[0])).lower()
    foreign = ("supinat", "epicond", "tennis", "tendin", "diagnos", "positive", "radial", "%")

    assert [word for word in foreign if word in text] == []


@pytest.mark.parametrize("paper", PAPERS)
def test_everything_to_heed_is_on_the_sheet(paper):
    text = text_of(printed(a_sheet(), paper))
    told = [*own_words(), *map(say, advice.HELP_TODAY), say(advice.emergency("112"))]

    assert [words for words in told if words not in text] == []


def test_signs_to_stop_beside_the_pain_are_those_of_the_exercises():
    signs = {say(sign) for sign in self_check_words.stop_signs()}
    of_exercises = [say(sign) for sign in advice.stop_signs(LIMITS)]

    assert [sign for sign in of_exercises if sign not in signs] == [
        "Your pain reaches 6 or turns sharp."
    ]


def test_the_words_are_plain_and_the_sentences_short():
    told = [*own_words(), *(step for test in AT_HOME for step in test.plain)]
    sentences = [sentence for words in told for sentence in sentences_of(words)]

    assert reading_ease(" ".join(told)) >= 80
    assert [one for one in sentences if len(words_of(one)) > 25] == []


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("paper", "pages"), zip(PAPERS, (4, 9, 4, 9), strict=True))
def test_the_sheet_takes_two_leaves_and_in_large_print_five(paper, pages, language):
    assert len(opened(printed(a_sheet(language=language), paper)).pages) == pages


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_emergency_number_stands_on_the_first_page(paper, language):
    with translation.override(language):
        call = say(advice.emergency(CLINIC.emergency_phone))

    assert call in page_texts(printed(a_sheet(language=language), paper))[0]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_no_answer_is_torn_from_its_scale_by_the_end_of_a_page(paper, language):
    with translation.override(language):
        inside = (
            *rows.choices(),
            gettext("How strong"),
            gettext("Other pain: where? Not done: why?"),
        )
    pages = page_texts(printed(a_sheet(language=language), paper))

    assert [text for text in pages if text.startswith(inside)] == []


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_ends_with_whose_it_is_and_where_it_belongs(paper):
    pages = page_texts(printed(a_sheet(), paper))

    for number, text in enumerate(pages, start=1):
        assert text.endswith(
            "Quayside Clinic Self-check Marit Oyelaran · record 0217 · 12 Mar 2026 "
            f"page {number} of {len(pages)} 1 Harbor Road, Sandhaven, +44 1632 960001"
        )


@pytest.mark.parametrize("paper", PAPERS)
def test_type_is_embedded_and_large_enough(paper):
    data = printed(a_sheet(), paper)
    foot, smallest = sorted(sizes_of(data))[:2]

    assert set(fonts_of(data).values()) == {True}
    assert (foot, smallest) == ((14, 18) if paper.large else (10, 12))


def test_a_name_that_the_type_lacks_is_refused():
    with pytest.raises(CannotPrint):
        self_check_pdf(a_sheet(patient="王芳"), PAPERS[0])
