"""Every number that the intake shows or computes with, with its status, against the sources.

Racket: 150 amateur players (1986) pubmed 3767495; Gruchow & Pelletier 1979 (hours a day from memory); Hatch
2006 Am J Sports Med 34:1977–83; Mohandhas 2016 Shoulder Elbow 8:184–91; Priest, quoted by Hennig 2007. Work:
Shiri 2006; Herquelot 2013 Scand J Work Environ Health 39:578–88; the review PMC3781883. Course: Coombes 2013
JAMA 309:461–9; Sanders 2015 Am J Sports Med 43:1066–71. Waiting after an injection: 1–2 weeks from memory,
2–6 weeks common practice without a source.
"""

import datetime

import pytest

from cases.clinical import exposure, intake
from cases.clinical.contradictions import STIFF_MINUTES
from cases.clinical.palpation import PRESSURE_AGREEMENT
from cases.clinical.screening_questions import INJECTION_FIGURES, RADICULOPATHY_FOUR_OF_FOUR
from cases.clinical.screening_signs import ELBOW_EXTENSION, INSTABILITY
from clinic.evidence import Status

from .printed import numbers

PUBLISHED, SECOND_HAND = Status.PUBLISHED, Status.SECOND_HAND
MEMORY, CONVENTION = Status.FROM_MEMORY, Status.CONVENTION

# fmt: off
FIGURES = (
    # figure, printed, status, numbers of its limits
    (exposure.HOURS_WITHOUT_PAIN, 5.5, PUBLISHED, ()),          # 150 amateur players, 1986
    (exposure.HOURS_BEFORE_PAIN, 8, PUBLISHED, ()),
    (exposure.HOURS_A_DAY, 2, MEMORY, (2, 3.5)),                # times the incidence
    (exposure.PLAYERS_EVER, 31, SECOND_HAND, ()),
    (exposure.GRIP_SIZE_NO_CHANGE, 0.25, PUBLISHED, ()),        # Hatch 2006: 1/4 inch more or less
    (exposure.STRING_TENSION[0], 5.58, PUBLISHED, (200,)),      # Mohandhas 2016: N
    (exposure.STRING_TENSION[1], 6.83, PUBLISHED, (222,)),
    (exposure.STRING_TENSION[2], 7.45, PUBLISHED, (245,)),
    (exposure.HEAD_AREA[0], 613, PUBLISHED, ()),
    (exposure.HEAD_AREA[1], 570, PUBLISHED, ()),
    (exposure.FORCE_AND_REPETITION, 5.6, PUBLISHED, (95, 1.9, 16.5)),  # Shiri 2006: odds ratio
    (exposure.BENT_WRIST[0], 3.2, PUBLISHED, (2, 1.5, 6.4)),    # Herquelot 2013: men, over 2 h a day
    (exposure.BENT_WRIST[1], 3.3, PUBLISHED, (1.4, 7.6)),       # Herquelot 2013: women
    (exposure.BENT_WRIST_HOURS, 2, PUBLISHED, ()),
    (exposure.TOOLS_KG, 1, PUBLISHED, ()),
    (exposure.HANDLING_KG, 20, PUBLISHED, ()),
    (exposure.SCREEN_HOURS, 20, PUBLISHED, ()),
    (intake.HOLD_ALL_HEAVY, 2, MEMORY, ()),
    (intake.HOLD_HEAVY_STAGES[0], 2, CONVENTION, ()),
    (intake.HOLD_HEAVY_STAGES[1], 6, CONVENTION, ()),
    (intake.EXPECT_LESS, 12, PUBLISHED, (1,)),
    (intake.NIGHT_AND_MORNING[0].figures[0], 30, MEMORY, ()),
    (intake.EARLIER[0].figures[0], 8.5, PUBLISHED, (2,)),       # % within 2 years
)
NAMED = (
    (exposure.GRIP_SIZE_MORE_PAIN, PUBLISHED, (500,)),          # over 500 players
    (exposure.STRING_STEPS, PUBLISHED, (5.58, 6.83, 7.45, 200, 222, 245)),
    (exposure.BENT_WRIST_BOTH, PUBLISHED, (3.2, 3.3, 2)),
    (exposure.TWISTING, PUBLISHED, ()),
    (exposure.MANUAL_WORK, PUBLISHED, (4, 6)),                  # weeks, months
    (exposure.RISE, CONVENTION, ()),
    (intake.WHERE[0].figures[0], MEMORY, (3, 5)),               # cm
)
SAMPLES = (
    (exposure.HOURS_BEFORE_PAIN, "150 amateur players"),
    (exposure.PLAYERS_EVER, "n = 2633"),
    (exposure.GRIP_SIZE_NO_CHANGE, "n = 16"),
    (exposure.STRING_TENSION[0], "n = 20"),
    (exposure.FORCE_AND_REPETITION, "n = 4783"),
    (exposure.MANUAL_WORK, "n = 164"),
    (INJECTION_FIGURES[0], "n = 165"),
    (RADICULOPATHY_FOUR_OF_FOUR, "n = 82"),
    (ELBOW_EXTENSION, "n = 1740"),
    (INSTABILITY.figures[0], "n = 8"),
    (PRESSURE_AGREEMENT, "n = 50"),
)
# fmt: on


@pytest.mark.parametrize(("figure", "printed", "status", "limits"), FIGURES)
def test_a_figure_of_the_history_is_as_it_is_printed(figure, printed, status, limits):
    assert (figure.value, figure.status, numbers(figure.limits)) == (printed, status, limits)


@pytest.mark.parametrize(("named", "status", "limits"), NAMED)
def test_what_a_source_only_names_shows_its_numbers(named, status, limits):
    assert (named.status, numbers(named.limits)) == (status, limits)


@pytest.mark.parametrize(("known", "sample"), SAMPLES)
def test_a_source_says_how_many_people_it_saw(known, sample):
    assert sample in known.source.split(", ")


@pytest.mark.parametrize(("pounds", "newton"), [(45, 200), (50, 222), (55, 245)])
def test_the_printed_tensions_are_whole_pounds(pounds, newton):
    # Computed: 45, 50 and 55 lb are the newtons that Mohandhas 2016 prints.
    assert exposure.tension_n(pounds, "lbf") == pytest.approx(newton, abs=0.5)


def test_the_units_of_string_tension_are_exact():
    # Standard gravity 9.80665 m/s² and the international pound 0.45359237 kg, both by definition.
    assert exposure.NEWTON_PER["N"] == 1
    assert exposure.NEWTON_PER["kgf"] == 9.80665
    assert exposure.NEWTON_PER["lbf"] == pytest.approx(4.4482216152605, rel=1e-13)


def test_morning_stiffness_is_asked_about_over_30_minutes():
    # Usual practice, from memory; the same as in the screening.
    assert STIFF_MINUTES == 30


def test_the_sentences_after_an_injection_show_the_printed_numbers():
    # Coombes 2013: 83 and 96 of 100 at 1 year; 54 and 12 of 100 again. 1–2 weeks from memory, 2–6 common.
    day = datetime.date(2026, 3, 12)
    caution = intake.injection_caution(day, today=day)

    assert [numbers(sentence.text) for sentence in caution.sentences] == [
        (1, 2),
        (2, 6),
        (83, 100, 1, 96, 54, 12, 100, 2013),
    ]


def test_the_classes_of_duration_are_named_by_their_weeks():
    # Common practice, no source.
    assert [numbers(str(one.label)) for one in intake.Duration] == [(6,), (6, 12), (12,)]
