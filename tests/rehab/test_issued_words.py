"""What was issued keeps its words, whatever becomes of the card."""

import datetime
from dataclasses import replace

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse
from django.utils import timezone, translation

from clinic.templatetags import clinic_tags
from rehab.clinical import exercises
from rehab.clinical.stages import Policy, Stage
from rehab.models import Program, ProgramExercise
from rehab.printing import gather
from rehab.printing.home_program import home_program_pdf
from tests.factories.rehab import create_draft, create_issued, create_own_card
from tests.rehab.printing.sheets import text_of

NEW = {"name": "Heave and sink", "steps": ("Another step.",), "caution": "Another caution."}


@pytest.fixture
def new_edition(monkeypatch):
    """Return a function that puts another wording of a catalog's card in its place."""

    def write(code):
        changed = replace(exercises.card(code), **NEW)
        monkeypatch.setitem(exercises._BY_CODE, code, changed)

    return write


@pytest.fixture
def own_program(case):
    """Issued with the clinic's own exercise as the only one."""
    own = create_own_card(clinic=case.clinic)
    row = {"card": own.code, "sets": 2, "repetitions": 12, "days_per_week": 3}
    return create_issued(case=case, version=1, rows=(row,))


def printed(program):
    program = Program.objects.with_exercises().get(pk=program.pk)
    sheet = gather.home_program(program, now=timezone.now())
    return text_of(home_program_pdf(sheet, gather.paper_for(program)))


def shown(browser, program):
    page = browser.get(reverse("rehab:case", args=[program.case_id])).content.decode()
    return page[page.index('<table class="ledger fold">') :].split("</table>")[0]


def test_a_new_edition_of_the_catalogs_card_changes_neither_page_nor_paper(
    browser, program, new_edition
):
    page, paper = shown(browser, program), printed(program)

    new_edition("lift-and-lower")

    assert (shown(browser, program), printed(program)) == (page, paper)
    assert ("Lift and lower" in page, "Heave and sink" in paper) == (True, False)


def test_a_new_edition_of_an_own_card_changes_neither_page_nor_paper(browser, own_program):
    page, paper = shown(browser, own_program), printed(own_program)

    create_own_card(clinic=own_program.clinic, code="own-001", **NEW)

    assert (shown(browser, own_program), printed(own_program)) == (page, paper)
    assert ("Rope pull" in page, "Pull the rope slowly" in paper) == (True, True)


def test_the_next_version_takes_the_cards_words_as_they_are_then(case, program, new_edition):
    new_edition("lift-and-lower")

    draft = Program.draft(
        case, stage=Stage.LIGHT_ISOTONIC, policy=Policy.STANDARD, on=datetime.date(2026, 4, 1)
    )

    assert [(one.of_card.name, one.words) for one in draft.exercises.all()] == [
        ("Heave and sink", None),
        ("Fist hold", None),
    ]


def test_a_program_issued_before_words_were_kept_reads_the_catalog(case, monkeypatch, new_edition):
    monkeypatch.setattr(Program, "keep_words", lambda program: None)
    program = create_issued(case=case, version=1)

    new_edition("lift-and-lower")

    assert (program.main.words, program.main.of_card.name) == (None, "Heave and sink")


def test_the_words_are_kept_with_the_gate_the_source_and_the_usual_dose(program):
    assert program.main.of_card == exercises.card("lift-and-lower")


def test_the_patients_language_keeps_its_words_too(case, monkeypatch, new_edition):
    case.patient.language = "es"
    case.patient.save()
    with monkeypatch.context() as translated:
        translated.setattr(clinic_tags, "gettext", in_spanish)
        program = create_issued(case=case, version=1)

    new_edition("lift-and-lower")

    sheet = gather.home_program(program, now=timezone.now())
    assert (sheet.exercises[0].name, sheet.exercises[0].steps[0]) == (
        "es: Lift and lower",
        "es: Hold the weight.",
    )
    assert gather.diary_page(program, now=timezone.now()).exercise == "es: Lift and lower"
    assert program.main.of_card.name == "Lift and lower"


def in_spanish(text):
    return f"es: {text}" if translation.get_language() == "es" else text


def test_what_has_no_translation_yet_can_still_get_one(own_program):
    # Only its caution is a sentence of the catalog; the clinic's own words are not.
    assert own_program.main.words["translated"] == {
        "es": {"caution": "Deténgase si siente hormigueo en la mano."}
    }


def test_the_words_of_an_issued_program_stay(program):
    with pytest.raises(DatabaseError, match="program_exercise_issued_stays"), transaction.atomic():
        ProgramExercise.objects.update(words=None)

    assert program.main.of_card.name == "Lift and lower"


def test_a_draft_reads_own_cards_without_a_query_for_each(case, django_assert_num_queries):
    codes = [create_own_card(clinic=case.clinic, name=f"Pull {n}").code for n in range(3)]
    rows = [{"card": code, "sets": 2, "repetitions": 12, "days_per_week": 3} for code in codes]
    create_draft(case=case, rows=rows)

    draft = Program.objects.draft_of(case)
    with django_assert_num_queries(1):
        names = [one.of_card.name for one in draft.exercises.all()]

    assert names == ["Pull 0", "Pull 1", "Pull 2"]
