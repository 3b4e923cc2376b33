from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.clinical.intake import (
    INJECTION_FIGURES,
    Duration,
    Provocation,
    duration_class,
    injection_caution,
)

TODAY = date(2026, 3, 12)
days = st.dates(min_value=date(1900, 1, 1), max_value=TODAY)


@pytest.mark.parametrize(
    ("days_ago", "expected"),
    [
        (0, Duration.UNDER_6_WEEKS),
        (41, Duration.UNDER_6_WEEKS),
        (42, Duration.FROM_6_TO_12_WEEKS),
        (84, Duration.FROM_6_TO_12_WEEKS),
        (85, Duration.OVER_12_WEEKS),
    ],
)
def test_duration_has_three_classes_with_whole_weeks_between(days_ago, expected):
    assert duration_class(TODAY - timedelta(days=days_ago), today=TODAY) is expected


@given(days, days)
def test_an_earlier_onset_never_makes_a_shorter_case(one, other):
    order = list(Duration)
    earlier, later = sorted((one, other))

    assert order.index(duration_class(earlier, today=TODAY)) >= order.index(
        duration_class(later, today=TODAY)
    )


@pytest.mark.parametrize("ask", [duration_class, injection_caution])
def test_what_lies_ahead_is_refused(ask):
    with pytest.raises(ValueError, match="2026-03-13 is after 2026-03-12"):
        ask(date(2026, 3, 13), today=TODAY)


@pytest.mark.parametrize(
    ("days_ago", "weeks", "grip", "heavy"),
    [
        (0, 0, True, True),
        (13, 1, True, True),
        (14, 2, False, True),
        (41, 5, False, True),
        (42, 6, False, False),
    ],
)
def test_an_injection_puts_load_off_for_weeks(days_ago, weeks, grip, heavy):
    caution = injection_caution(TODAY - timedelta(days=days_ago), today=TODAY)

    assert (caution.weeks, caution.hold_maximal_grip, caution.hold_heavy_stages) == (
        weeks,
        grip,
        heavy,
    )


@pytest.mark.parametrize(
    ("injected", "today", "less"),
    [
        (date(2025, 3, 12), TODAY, True),
        (date(2025, 3, 11), TODAY, False),
        (date(2024, 2, 29), date(2025, 3, 1), True),
        (date(2024, 2, 29), date(2025, 3, 2), False),
    ],
)
def test_less_is_expected_for_a_year_after_an_injection(injected, today, less):
    assert injection_caution(injected, today=today).expect_less is less


def test_a_fresh_injection_says_everything_with_its_source():
    sentences = injection_caution(TODAY - timedelta(days=8), today=TODAY).sentences

    assert [str(sentence) for sentence in sentences] == [
        "Whole weeks since the steroid injection: 1; put off maximal grip and heavy load for 1–2 weeks "
        "(from memory, not checked).",
        "Whole weeks since the steroid injection: 1; relief may hide overload; hold the heavy stages for "
        "2–6 weeks (common practice, no source).",
        "Steroid injection within a year: in one trial 83 of 100 were recovered or much improved "
        "at 1 year, 96 after placebo; 54 and 12 of 100 had it again (Coombes 2013).",
    ]


def test_the_sentence_about_a_year_quotes_the_figures():
    (sentence,) = injection_caution(TODAY - timedelta(weeks=8), today=TODAY).sentences
    quoted = [f"{figure.value:g}" for figure in INJECTION_FIGURES]

    assert [value for value in quoted if value not in str(sentence)] == []


def test_an_old_injection_says_nothing():
    assert injection_caution(date(2020, 1, 1), today=TODAY).sentences == ()


def test_choices_are_stored_short_and_shown_in_words():
    assert len(Provocation.choices()) == 10
    assert Provocation.choices()[1] == ("lifting", "lifting with the palm down")
