"""The standard words of e-mails, and what is wrong with a clinic's own."""

import polib
import pytest
from django.conf import settings

from cases.mail_words import (
    BODIES,
    LONGEST_BODY,
    LONGEST_SUBJECT,
    PLACE,
    PLACES,
    SUBJECTS,
    Occasion,
    faults,
    filled,
    needed_in,
    places_of,
)
from cases.models import Notice

NAMES = "{patient}, {day}, {time}, {minutes}, {practitioner}, {clinic}, {address}, {phone}"
NONE = "There is no {%s}. Possible are " + NAMES + "."
BRACES = f"Braces only stand around one of these names: {NAMES}."


@pytest.mark.parametrize("table", [SUBJECTS, BODIES, Notice.About])
def test_every_occasion_has_its_words(table):
    assert list(table) == list(Occasion)


@pytest.mark.parametrize("occasion", Occasion)
def test_the_standard_words_would_be_taken_as_a_clinic_s_own(occasion):
    body = faults(BODIES[occasion], occasion, needed=needed_in(occasion))
    assert body == faults(SUBJECTS[occasion], occasion) == []
    assert len(SUBJECTS[occasion]) <= LONGEST_SUBJECT
    assert len(BODIES[occasion]) <= LONGEST_BODY


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("On {day}, {time}.", []),
        ("On {day}, {time}: {diagnosis}.", [NONE % "diagnosis"]),
        ("{day} {time} {kind} {pain} {kind}", [NONE % "kind", NONE % "pain"]),
        ("{day} {time} {day.__class__}", [NONE % "day.__class__"]),
        ("{day} {time} {day!r} {}", [NONE % "day!r", NONE % ""]),
        ("{Day} {time}", [NONE % "Day", "The patient must read when it is: add {day}."]),
        ("{day} {time} {", [BRACES]),
        ("{day} {{time}}", [BRACES]),
        ("See you.", ["The patient must read when it is: add {day}, {time}."]),
        ("100 % sure: {day}, {time}", []),
    ],
)
def test_what_a_text_lacks_is_said_in_a_sentence(text, said):
    found = faults(text, Occasion.MOVED, needed=needed_in(Occasion.MOVED))
    assert [str(fault) for fault in found] == said


def test_of_several_visits_the_list_of_them_is_asked_for():
    series = Occasion.SERIES
    said = [str(fault) for fault in faults("On {day}.", series, needed=needed_in(series))]

    assert said == [
        "There is no {day}. Possible are {patient}, {number}, {visits}, {minutes}, {practitioner}, "
        "{clinic}, {address}, {phone}.",
        "The patient must read when it is: add {visits}.",
    ]


@pytest.mark.parametrize("occasion", Occasion)
def test_every_name_that_is_asked_for_may_be_used(occasion):
    assert set(needed_in(occasion)) <= set(places_of(occasion))


def test_a_value_is_not_read_as_a_place():
    assert filled("{patient}, {day}", {"patient": "{phone}", "day": "\\1"}) == "{phone}, \\1"


def test_no_place_is_for_what_was_found_measured_or_prescribed():
    # Every one of them is a matter of the book and of the clinic, which front desk may read.
    assert set(PLACES) == {
        "patient", "day", "time", "number", "visits", "minutes", "practitioner", "clinic", "address",
        "phone",
    }  # fmt: skip


@pytest.mark.parametrize("occasion", Occasion)
@pytest.mark.parametrize("texts", [SUBJECTS, BODIES])
def test_a_standard_text_has_a_spanish_one_with_the_same_places(texts, occasion):
    text = texts[occasion]
    catalog = polib.pofile(settings.BASE_DIR / "clinic/locale/es/LC_MESSAGES/django.po")
    spanish = catalog.find(text)

    assert spanish is not None
    assert sorted(PLACE.findall(spanish.msgstr)) == sorted(PLACE.findall(text))
    assert faults(spanish.msgstr, occasion) == []
