"""A third language needs its catalog and nothing else: whatever a patient reads goes through it.

The language is Russian, for Django's own names of days and months, with a made-up catalog: each message
in the letters of another script. A Latin word that is still on a sheet is one that no catalog reaches.
"""

import re
from dataclasses import fields, is_dataclass

import polib
import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone, translation
from icalendar import Calendar

from cases.forms.patients import PatientForm
from cases.invitation import invitation
from cases.models import Patient
from rehab.clinical import returning
from rehab.printing import advice
from rehab.printing.fonts import REFUSAL, CannotPrint
from rehab.printing.home_program import home_program_pdf
from rehab.printing.paper import LARGE, NORMAL, Paper
from tests.factories.cases import create_appointment
from tests.rehab.printing.sheets import LIMITS, VISIT, a_program, text_of
from tests.rehab.printing.summaries import OTHERS as SUMMARIES
from tests.rehab.printing.test_pages import TRANSLATED
from tests.rehab.printing.test_spanish import CATALOG

LANGUAGE = "ru"
# Formats of dates, which Django fills in.
FORMATS = {"j M Y", "D j M"}
KEPT = re.compile(r"%\(\w+\)s|%%|</?b>")
LATIN = "abcdefghijklmnopqrstuvwxyz"
CYRILLIC = dict(zip(LATIN + LATIN.upper(), "абцдефгхийклмнопярстувшщыз" * 2, strict=True))
# What is written as it was typed, or printed elsewhere: a fact, not a word to translate.
FACTS = {
    "patient", "record", "clinic", "remark", "practitioner", "issued_by", "registration_number", "source",
    "occupation", "sport", "wants", "lead", "last_by", "registration", "what", "because", "decided_by",
}  # fmt: skip
UNITS = {"kg"}
# The usual content, and what takes other sentences.
CONTENTS = {
    **{sheet: [{}] for sheet in TRANSLATED},
    "home program": [
        {},
        {"next_visit": None, "remark": ""},
        {"count": 1, "registration_number": ""},
    ],
    "diary page": [{}, {"next_visit": None, "holds": True}, {"sets": 30}],
    # Without a name that a line's end breaks in two.
    "appointment card": [{"appointments": (VISIT,), "more": True}, {"appointments": ()}],
    "course summary": [{}, *SUMMARIES],
}


def other_script(message: str) -> str:
    """The message with each letter as another one; its places and its bold parts stay."""
    if message in FORMATS:
        return message
    words, kept = KEPT.split(message), [*KEPT.findall(message), ""]
    return "".join(
        "".join(CYRILLIC.get(sign, sign) for sign in part) + place
        for part, place in zip(words, kept, strict=True)
    )


@pytest.fixture
def third_language(tmp_path, settings):
    """The catalog of the Spanish messages, in a folder of its own."""
    made = polib.POFile()
    spanish = polib.pofile(str(CATALOG / "django.po"))
    made.metadata = spanish.metadata | {"Language": LANGUAGE}
    for entry in [*spanish, polib.POEntry(msgid=REFUSAL)]:
        forms = {form: other_script(entry.msgid) for form in entry.msgstr_plural}
        text = "" if forms else other_script(entry.msgid)
        made.append(
            polib.POEntry(
                msgid=entry.msgid,
                msgid_plural=entry.msgid_plural,
                msgstr=text,
                msgstr_plural=forms,
            )
        )
    folder = tmp_path / LANGUAGE / "LC_MESSAGES"
    folder.mkdir(parents=True)
    made.save_as_mofile(str(folder / "django.mo"))
    settings.LANGUAGES = [*settings.LANGUAGES, (LANGUAGE, "Third")]
    settings.LOCALE_PATHS = [tmp_path]


def facts(thing: object) -> set[str]:
    """The words of a sheet's content that are no messages."""
    if is_dataclass(thing):
        named = ((field.name, getattr(thing, field.name)) for field in fields(thing))
        found = (words_in(value) if name in FACTS else facts(value) for name, value in named)
        return set().union(*found)
    return set().union(*map(facts, thing)) if isinstance(thing, tuple) else set()


def words_in(thing: object) -> set[str]:
    if is_dataclass(thing):
        return set().union(*(words_in(getattr(thing, field.name)) for field in fields(thing)))
    if isinstance(thing, tuple):
        return set().union(*map(words_in, thing))
    return latin(thing) if isinstance(thing, str) else set()


def cited() -> set[str]:
    """The words of what the sheets name as their sources: a title stays in its own language."""
    values = [dict(source.values).get("source", "") for source in advice.sources(LIMITS)]
    return latin(" ".join([*values, returning.SOURCE]))


def latin(text: str) -> set[str]:
    return set(re.findall(r"[A-Za-z]{2,}", text))


@pytest.mark.parametrize("body", [NORMAL, LARGE])
@pytest.mark.parametrize("sheet", CONTENTS)
def test_every_word_of_a_sheet_comes_from_the_catalog(third_language, sheet, body):
    for changes in CONTENTS[sheet] if body == NORMAL else CONTENTS[sheet][:1]:
        content = TRANSLATED[sheet].make(language=LANGUAGE, **changes)
        text = text_of(TRANSLATED[sheet].set(content, TRANSLATED[sheet].turned(Paper(body=body))))

        assert latin(text) - facts(content) - cited() - UNITS == set()
        assert re.search("[а-я]{4}", text)


def test_the_language_can_be_chosen_for_a_patient(third_language):
    others = [field.name for field in Patient._meta.fields if field.name != "language"]
    Patient(language=LANGUAGE).clean_fields(exclude=others)

    assert PatientForm().fields["language"].valid_value(LANGUAGE)
    with pytest.raises(ValidationError, match="is not a valid choice"):
        Patient(language="xx").clean_fields(exclude=others)


@pytest.mark.django_db
def test_the_entry_for_a_calendar_comes_from_the_catalog(third_language):
    booked = create_appointment(starts_at=timezone.now())
    booked.patient.language = LANGUAGE
    booked.clinic.name = ""
    entry = Calendar.from_ical(invitation(booked, now=timezone.now()))

    assert entry.events[0]["SUMMARY"] == f": {other_script('appointment')}"


def test_a_refusal_is_said_in_the_language_of_who_prints(third_language):
    with translation.override(LANGUAGE), pytest.raises(CannotPrint) as refusal:
        home_program_pdf(a_program(patient="محمد"), Paper())

    assert str(refusal.value).startswith("“محمد” can't be printed: ")
    with translation.override(LANGUAGE):
        assert latin(str(refusal.value)) == {"arabic", "letter", "meem"}


def test_a_word_that_no_catalog_reaches_is_found(third_language):
    spoiled = a_program(language=LANGUAGE, stage_words="Not in any catalog")
    text = text_of(home_program_pdf(spoiled, Paper()))

    assert latin(text) - facts(spoiled) - cited() == {"not", "in", "any", "catalog"}
