"""Horizons, thresholds by name, reasons for a missing value, and what is said of them."""

import datetime
import itertools

import pytest

from assessments.clinical.change import Better
from clinic.evidence import Figure, Status
from rehab.clinical.caseload import (
    COUNTED,
    COUNTED_BY_KEY,
    HORIZONS,
    LEADING,
    START_WINDOW,
    AtHorizon,
    Attendance,
    Mark,
    Missing,
    Reached,
    Share,
    StageTime,
    median_of,
    why_missing,
)
from rehab.clinical.caseload_words import attendance_words, headline, missing_words, percent_words

OPENED = datetime.date(2026, 3, 2)
QUESTIONNAIRE = COUNTED_BY_KEY["prtee"]


def after(days: int) -> datetime.date:
    return OPENED + datetime.timedelta(days=days)


def points(value: float, *, unit: str = "points", beyond: bool = False) -> Mark:
    figure = Figure(value=value, unit=unit, source="", status=Status.PUBLISHED)
    return Mark(name="one", figure=figure, beyond=beyond)


def at(*, started: int = 120, measured: int = 64, reached: int = 41, **missing: int) -> AtHorizon:
    """The questionnaire at 12 weeks; each threshold after the leading one is reached by one less."""
    given = dict.fromkeys(Missing, 0) | {Missing(name): n for name, n in missing.items()}
    order = sorted(QUESTIONNAIRE.marks, key=lambda mark: mark is not QUESTIONNAIRE.leading)
    shares = {
        mark: Share(count=max(reached - n, 0), total=measured) for n, mark in enumerate(order)
    }
    rows = tuple(Reached(mark=mark, share=shares[mark]) for mark in QUESTIONNAIRE.marks)
    return AtHorizon(
        horizon=LEADING, started=started, measured=measured, reached=rows, missing=given
    )


def test_the_windows_leave_no_day_to_two_horizons():
    days = [(0, 7 * START_WINDOW.value), *((one.first_day, one.last_day) for one in HORIZONS)]

    assert all(last < first for (_, last), (first, _) in itertools.pairwise(days))


def test_every_measure_has_thresholds_of_different_names_and_figures():
    for counted in COUNTED:
        shown = [(mark.name, mark.figure.value, mark.figure.unit) for mark in counted.marks]
        assert len(shown) == len(set(shown)) > 0
        assert counted.leading in counted.marks


@pytest.mark.parametrize(
    ("today", "closed", "why"),
    [
        (105, None, Missing.NOT_DUE),  # the last day of the window
        (106, None, Missing.LOST),
        (400, 62, Missing.CLOSED),
        (400, 63, Missing.LOST),  # closed on the first day of the window
        (90, 80, Missing.LOST),  # closed within it: no value can come any more
        (70, 30, Missing.CLOSED),
    ],
)
def test_a_value_is_missing_at_12_weeks_for_one_reason(today, closed, why):
    end = None if closed is None else after(closed)

    assert why_missing(LEADING, opened=OPENED, closed=end, today=after(today)) is why


def test_a_case_that_closed_before_it_opened_is_refused():
    with pytest.raises(ValueError, match="can't be closed"):
        why_missing(LEADING, opened=OPENED, closed=after(-1), today=after(9))


@pytest.mark.parametrize(
    ("mark", "start", "value", "better", "reached"),
    [
        (points(11), 49, 38, Better.DOWN, True),
        (points(11), 49, 38.1, Better.DOWN, False),
        (points(11), 49, 60, Better.DOWN, False),
        (points(11, beyond=True), 49, 38, Better.DOWN, False),
        (points(92, beyond=True), 121.6, 213.6, Better.UP, False),
        (points(92, beyond=True), 121.6, 213.7, Better.UP, True),
        (points(30, unit="%"), 10, 7, Better.DOWN, True),
        (points(30, unit="%"), 9, 7, Better.DOWN, False),
        (points(30, unit="%"), 0, 0, Better.DOWN, None),
    ],
)
def test_a_threshold_is_reached_at_its_figure(mark, start, value, better, reached):
    assert mark.reached(start, value, better=better) is reached


def test_49_to_36_reaches_some_thresholds_and_not_others():
    found = {m.figure.value: m.reached(49, 36, better=Better.DOWN) for m in QUESTIONNAIRE.marks}

    assert found == {
        9.7: True, 7: True, 22: True, 11: True, 37: False, 14.8: False, 31.33: False,
    }  # fmt: skip


def test_a_share_of_few_cases_has_no_percentage():
    assert Share(count=3, total=4).percent is None
    assert Share(count=3, total=4).interval is None
    assert percent_words(Share(count=3, total=4)) is None


def test_a_share_is_shown_with_its_interval():
    # Newcombe 1998 Stat Med 17:857–72, table I: 81 of 263, 0.2553 to 0.3662.
    assert str(percent_words(Share(count=81, total=263))) == "31 %, 26 to 37 %"


def test_the_headline_names_the_threshold_the_others_and_who_is_missing():
    found = headline(at(closed=20, not_due=30, lost=6), QUESTIONNAIRE)

    assert [str(sentence) for sentence in found] == [
        "Of 120 cases with the questionnaire at the start, 64 were measured again at 12 weeks.",
        "41 of these 64 (64 %, 52 to 75 %) improved by 11 points or more (much better, points); "
        "by the other thresholds it is 35 to 40.",
        "56 are missing: 20 closed before, 30 not due yet, 6 due and not measured.",
    ]


def test_few_cases_are_told_in_counts():
    found = headline(at(started=4, measured=4, reached=3), QUESTIONNAIRE)

    assert [str(sentence) for sentence in found] == [
        "Of 4 cases with the questionnaire at the start, 4 were measured again at 12 weeks.",
        "3 of these 4 improved by 11 points or more (much better, points); by the other thresholds "
        "it is 0 to 2.",
    ]


def test_other_thresholds_with_one_count_are_told_as_one():
    told = str(headline(at(started=4, measured=4, reached=0), QUESTIONNAIRE)[1])

    assert told.endswith("(much better, points); by every other threshold it is 0.")


def test_without_a_start_nothing_is_claimed():
    found = headline(at(started=0, measured=0, reached=0), QUESTIONNAIRE)

    assert [str(sentence) for sentence in found] == ["No case has the questionnaire at its start."]


def test_one_case_that_is_missing_is_told_as_one():
    assert [
        str(s) for s in headline(at(started=1, measured=0, reached=0, lost=1), QUESTIONNAIRE)
    ] == [
        "Of the one case with the questionnaire at the start, 0 was measured again at 12 weeks.",
        "1 is missing: 0 closed before, 0 not due yet, 1 due and not measured.",
    ]


def test_nobody_missing_needs_no_sentence():
    assert missing_words(at(started=64, measured=64)) is None


@pytest.mark.parametrize(
    ("counts", "median"),
    [({}, None), ({3: 1}, 3), ({3: 1, 6: 1}, 4.5), ({2: 3, 9: 1}, 2), ({9: 1, 1: 2, 2: 2}, 2)],
)
def test_the_median_comes_from_the_counts_of_whole_weeks(counts, median):
    assert median_of(counts) == median


def test_a_negative_count_is_refused():
    with pytest.raises(ValueError, match="below 0"):
        median_of({3: -1})


def test_a_stage_with_few_finished_stays_has_no_median():
    assert StageTime(weeks={3: 4}, running=9).median is None
    assert StageTime(weeks={3: 5}, running=0).median == 3


@pytest.mark.parametrize(
    ("due", "missed", "unmarked", "words"),
    [
        (0, 0, 0, "No past appointment has been marked yet."),
        (3, 1, 0, "1 of 3 appointments were missed."),
        (22, 2, 2, "2 of 20 appointments were missed (10 %, 3 to 30 %). Not marked: 2."),
    ],
)
def test_missed_visits_are_told_of_those_that_were_marked(due, missed, unmarked, words):
    found = Attendance(due=due, missed=missed, unmarked=unmarked)

    assert str(attendance_words(found)) == words
