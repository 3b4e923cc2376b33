"""What a Spanish-speaking patient gets on paper is Spanish throughout."""

import ast
import re
from dataclasses import replace
from pathlib import Path

import polib
import pytest
from django.utils import translation

from assessments.clinical.measures import BY_KEY
from assessments.clinical.summary import PLAIN
from cases.clinical.battery import MANEUVERS
from cases.clinical.battery_tests import BATTERY
from cases.clinical.findings import Place
from cases.clinical.intake import Provocation
from cases.clinical.screening_questions import QUESTIONS
from cases.clinical.screening_signs import GROUPS
from cases.clinical.sides import Side
from cases.models import Injection, Intake
from clinic.evidence import Status
from clinic.templatetags.clinic_tags import say, written
from rehab.clinical.dose import Dose
from rehab.clinical.exercises import CARDS, COMMON
from rehab.clinical.lifting import Grip
from rehab.clinical.stages import LABELS, STAGES, Policy
from rehab.clinical.week_plan import DAYS
from rehab.printing import advice
from rehab.printing.diary_page import diary_page_pdf, diary_paper
from rehab.printing.gather import listed
from rehab.printing.gather_summary import LEADING, PARTS
from rehab.printing.home_program import home_program_pdf
from rehab.printing.paper import A4, LARGE, LETTER, Paper
from rehab.printing.summary import summary_pdf
from tests.rehab.printing.sheets import (
    LIMITS,
    PAPERS,
    TODAY,
    a_diary,
    a_program,
    an_exercise,
    opened,
    text_of,
)
from tests.rehab.printing.summaries import a_summary
from tests.rehab.printing.test_pages import TRANSLATED
from tests.rehab.printing.test_return_plan import a_plan, lifting, printed

ROOT = Path(__file__).parents[3]
CATALOG = ROOT / "clinic" / "locale" / "es" / "LC_MESSAGES"
# Printed for the clinic itself or for a doctor, or said to who prints; a copy of the record says what the
# record says, in the words that it was written in.
OWN = {
    "gather_visit", "visit_record", "visit_tables", "ledger", "gather_referral", "referral_letter", "fonts",
    "record_copy",
}  # fmt: skip
SHEETS = [
    *(path for path in (ROOT / "rehab" / "printing").glob("*.py") if path.stem not in OWN),
    ROOT / "rehab" / "clinical" / "daily_life.py",
    ROOT / "rehab" / "clinical" / "dose.py",
    ROOT / "rehab" / "clinical" / "gate_words.py",
    ROOT / "cases" / "invitation.py",
]
MARKERS = {"gettext", "ngettext", "say", "_", "gettext_noop"}
TO_TRANSLATE = "makemessages, translate, compilemessages (DEVELOPERS.md, Checks)"
PLACE = re.compile(r"%\(\w+\)s|</?b>")
A_MAN = re.compile(
    r"\b(lo (despierta|derivamos|examinamos|esperamos)|verlo|atendido|sentado|rígido|cansado)\b"
)
NAMED, NUMBER = re.compile(r"%\(\w+\)s|\{\w+\}"), re.compile(r"\d+(?:[.,]\d+)?")


@pytest.fixture(scope="module")
def catalog() -> polib.POFile:
    return polib.pofile(str(CATALOG / "django.po"))


def messages_of(path: Path) -> set[str]:
    """The messages that a module marks, those in an f-string too."""
    calls = (node for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Call))
    marked = (call.args[0] for call in calls if getattr(call.func, "id", "") in MARKERS)
    return {text.value for text in marked if isinstance(text, ast.Constant)}


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_message_of_a_sheet_has_a_spanish_one(path, catalog):
    missing = messages_of(path) - {entry.msgid for entry in catalog}

    assert missing == set(), f"{TO_TRANSLATE}: {missing}"


def test_the_messages_of_the_sheets_are_found():
    found = [messages_of(path) for path in SHEETS]

    assert sum(map(len, found)) > 200
    assert len(SHEETS) - found.count(set()) > 12


def test_every_word_of_the_tables_on_paper_has_a_spanish_one(catalog):
    cards = {
        text
        for card in CARDS
        for text in (
            card.name, card.start, *card.steps, card.usual_mistake, card.caution, card.equipment,
        )
    } - {""}  # fmt: skip
    tables = {*COMMON, *DAYS, *(row.aim for row in STAGES), *map(str, Status), *map(str, Grip)}
    at_home = {step for test in BATTERY for step in test.plain}

    missing = (cards | tables | at_home) - {entry.msgid for entry in catalog}

    assert missing == set(), f"{TO_TRANSLATE}: {missing}"


@pytest.mark.parametrize("sheet", TRANSLATED)
def test_no_english_sentence_is_left_on_a_spanish_sheet(sheet, catalog):
    set_in_spanish = TRANSLATED[sheet]
    text = text_of(
        set_in_spanish.set(set_in_spanish.make(language="es"), set_in_spanish.turned(Paper()))
    )
    english = [
        part
        for entry in catalog
        if entry.msgid != entry.msgstr
        for part in PLACE.split(entry.msgid)
        if len(part.split()) > 2
    ]

    assert len(english) > 200
    assert [sentence for sentence in english if sentence.strip() in text] == []


def test_every_word_of_the_records_in_a_summary_has_a_spanish_one(catalog):
    measures = [BY_KEY[key].name for key in BY_KEY if key not in PARTS]
    leading = [PLAIN[key].what for keys in LEADING for key in keys]
    asked = [text for row in QUESTIONS for text in (row.condition, row.defers) if text]
    labels = [row.label for row in (*Provocation, *Place, *Side)]
    labels += [str(choice.label) for choice in (*Intake.Manner, *Injection.Substance)]
    signs, tests = [group.title for group in GROUPS], [test.name for test in MANEUVERS]
    said = {*measures, *leading, *asked, *labels, *signs, *tests, *map(str, LABELS.values())}

    missing = said - {entry.msgid for entry in catalog}

    assert missing == set(), f"{TO_TRANSLATE}: {missing}"


@pytest.mark.parametrize("page", [A4, LETTER])
def test_a_summary_takes_two_pages(page):
    printed = summary_pdf(a_summary(language="es"), Paper(page=page))

    assert len(opened(printed).pages) == 2
    assert "Le duele con esto: agarrar, usar herramientas" in text_of(printed)
    assert "mejor en 14,1 kg, fuera del error (9,38)" in text_of(printed)


def test_a_translation_keeps_the_places_of_its_message(catalog):
    changed = [
        entry.msgid
        for entry in catalog
        for form, text in (entry.msgstr_plural or {None: entry.msgstr}).items()
        if sorted(PLACE.findall(text))
        != sorted(PLACE.findall(entry.msgid_plural if form else entry.msgid))
    ]
    assert changed == []


def figures_of(text: str) -> list[str]:
    """The numbers that stand in a text, with their decimals as English writes them."""
    return sorted(number.replace(",", ".") for number in NUMBER.findall(NAMED.sub("", text)))


def test_a_translation_has_the_figures_of_its_message(catalog):
    """A dose, a limit or a page that is said otherwise in Spanish would be another one."""
    forms = [
        (entry.msgid_plural if form else entry.msgid, text)
        for entry in catalog
        for form, text in (entry.msgstr_plural or {0: entry.msgstr}).items()
    ]

    assert sum(bool(figures_of(text)) for _english, text in forms) > 30
    assert [pair for pair in forms if figures_of(pair[0]) != figures_of(pair[1])] == []


@pytest.mark.parametrize(
    ("text", "found"),
    [("Stop at 4 of 10.", ["10", "4"]), ("1–1,5 kg", ["1", "1.5"]), ("%(n)s de {x2}", [])],
)
def test_the_figures_of_a_text_are_found(text, found):
    assert figures_of(text) == found


def test_nobody_is_taken_for_a_man(catalog):
    """Words that change with who is meant, of the kinds that stood here once."""
    assert [entry.msgstr for entry in catalog if A_MAN.search(entry.msgstr)] == []
    assert A_MAN.search("El codo lo despierta.")


@pytest.mark.parametrize("policy", Policy)
def test_the_sources_of_a_home_program_are_in_spanish(policy):
    own = policy.pain_limits()
    low, high = own.green_ceiling, own.red_floor
    limits = replace(LIMITS, source=listed((low.source, high.source)))
    with translation.override("es"):
        printed_sources = " ".join(map(say, advice.sources(limits)))

    english = {"of", "and", "provider", "providers", "shoulder", "summaries", "trial", "register"}
    assert english & set(re.findall(r"[a-z]+", printed_sources)) == set()


def test_every_message_is_translated_and_none_is_fuzzy(catalog):
    assert (catalog.untranslated_entries(), catalog.fuzzy_entries()) == ([], [])


def test_the_compiled_catalog_agrees_with_the_text(catalog):
    compiled = polib.mofile(str(CATALOG / "django.mo"))

    assert {
        (entry.msgid, entry.msgstr, tuple(entry.msgstr_plural.items())) for entry in compiled
    } == {(entry.msgid, entry.msgstr, tuple(entry.msgstr_plural.items())) for entry in catalog}


def test_the_dose_has_a_decimal_comma():
    dose = Dose(sets=3, repetitions=15, load_kg=1.2)
    with translation.override("es"):
        said = [say(dose.headline()), say(dose.in_words())]

    assert said == ["3 × 15, 1,2 kg", "Haga 3 series de 15 repeticiones con 1,2 kg."]


def test_a_whole_load_has_no_decimals():
    assert say(Dose(sets=3, repetitions=15, load_kg=2.0).headline()) == "3 × 15, 2 kg"


def test_a_date_has_its_month_in_small_letters():
    with translation.override("es"):
        assert written(TODAY) == "12 mar 2026"


def test_one_exercise_is_counted_as_one():
    texts = [
        text_of(home_program_pdf(a_program(language="es", count=count), Paper()))
        for count in (1, 2)
    ]
    assert [re.search(r"Tiene (.*?)\.", text)[1] for text in texts] == [
        "1 ejercicio",
        "2 ejercicios",
    ]


@pytest.mark.parametrize("body", [Paper().body, LARGE])
def test_a_home_program_of_every_card_can_be_set(body):
    exercises = tuple(an_exercise(card) for card in CARDS)
    text = text_of(
        home_program_pdf(a_program(language="es", exercises=exercises), Paper(body=body))
    )

    names = [f"{number}. " for number in range(1, len(CARDS) + 1)]
    assert [name for name in names if name not in text] == []
    assert [
        word for word in ("Programa para la casa", "jueves, 26 mar 2026") if word not in text
    ] == []


@pytest.mark.parametrize("plan", [a_plan(language="es"), lifting(language="es")])
@pytest.mark.parametrize("paper", PAPERS)
def test_a_return_plan_fits_on_one_page_and_in_large_print_on_two(plan, paper):
    assert len(opened(printed(plan, paper)).pages) == (2 if paper.large else 1)


def test_a_diary_names_its_days_in_spanish():
    text = text_of(diary_page_pdf(a_diary(language="es"), diary_paper(Paper())))

    assert [day for day in ("jue 12 mar", "vie 13 mar", "dom 15 mar") if day not in text] == []


def test_two_weeks_of_a_diary_fit_on_one_page():
    assert len(opened(diary_page_pdf(a_diary(language="es"), diary_paper(Paper()))).pages) == 1
