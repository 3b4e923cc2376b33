"""The figures that the page “Words” quotes, as printed where it says that they are from."""

import pytest

from clinic.evidence import Status
from clinic.glossary import WORDS

from .printed import numbers


@pytest.mark.parametrize(
    ("name", "status", "figures"),
    [
        # Zwerus et al. 2018, abstract: 24 tests described, accuracy given for 14.
        ("provocation test", Status.PUBLISHED, (24, 14)),
        # From memory, usual practice: over half an hour speaks of inflamed joints.
        ("morning stiffness", Status.FROM_MEMORY, (30,)),
        # Weir 2005: 1.96 × √2 × SEM.
        ("measurement error", Status.PUBLISHED, (1.96, 2, 95)),
        # The trial register allows 2 of 10 during exercise, the shoulder trial 5.
        ("pain policy", Status.SECOND_HAND, (2, 5)),
        # Weeks and months as printed; the 12 weeks are common practice, no source.
        ("review", Status.SECOND_HAND, (6, 6, 12)),
    ],
)
def test_what_a_source_says_is_quoted(name, status, figures):
    source = WORDS[name].source

    assert (source.status, numbers(source.limits)) == (status, figures)


@pytest.mark.parametrize(
    ("name", "figures"),
    [
        # Common practice, no source: the mornings that the mean is of, and what 12 RM means.
        ("flare", (7,)),
        ("repetition maximum", (12, 12)),
        # The printed form: 15 items; a rating is of eleven whole numbers, its day of 24 hours.
        ("PRTEE", (15, 0)),
        ("pain rating", (0, 10, 24)),
    ],
)
def test_what_a_word_means_is_counted_right(name, figures):
    assert numbers(WORDS[name].meaning) == figures


def test_a_force_is_converted_exactly():
    # Standard gravity (SI Brochure) and the international pound of 1959, exact by definition.
    source = WORDS["grip test"].source

    assert (source.status, numbers(source.words)) == (
        Status.PUBLISHED,
        (1, 9.80665, 1, 0.45359237),
    )


def test_the_study_of_hands_counts_its_people():
    # Petersen et al. 1989: 262 right-handers and 48 left-handers.
    assert numbers(WORDS["grip ratio"].source.words)[-1] == 262 + 48


@pytest.mark.parametrize(
    ("name", "scale"),
    [("pain during exercise", (0, 10)), ("pain next morning", (0, 10)), ("PRTEE", (0, 100))],
)
def test_a_scale_has_its_ends(name, scale):
    assert numbers(WORDS[name].unit) == scale
