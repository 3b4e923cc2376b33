"""Every sentence about a change, over the whole register: none is a verdict, each names its figure."""

import re
from itertools import product

import pytest

from assessments.clinical.change import Better, compare
from assessments.clinical.measures import MEASURES
from assessments.clinical.summary import ITSELF, NOT_COMPARED, in_plain_words, one_value
from assessments.clinical.summary import plain as plain_of
from tests.rehab.printing.reading import reading_ease, sentences_of, words_of

# What would sum figures that disagree up into one answer, or claim a cause.
VERDICT = re.compile(
    r"\b(improv\w+|recover\w*|heal\w*|cur(e|es|ed)|success\w*|fail\w*|respon\w+|significan\w+|"
    r"real|true|meaningful\w*|clinical\w*|effective\w*|work(s|ed)|good|bad|poor|normal|abnormal|"
    r"probab\w+|likely|because|thanks|proves?|enough)\b",
    re.IGNORECASE,
)
STEPS = (0, 0.001, 0.01, 0.05, 0.25, 0.5, 0.99, 1)


def values(measure):
    """Two dozen pairs of values over the measure's range, as small as its last decimal shows."""
    low, high = measure.low, measure.high or 60
    return product([low + (high - low) * step for step in STEPS], repeat=2)


def around(measure):
    """Pairs that differ by exactly a figure of the measure, and by a little more or less."""
    figures = [*measure.errors, *(row.figure for row in measure.important)]
    start = (measure.high or 60) / 2
    for figure, nearly, sign in product(figures, (0.99, 1, 1.01), (1, -1)):
        size = figure.value * nearly / (100 / start if figure.unit == "%" else 1)
        yield start, start + sign * size


def changes_of(measure):
    """All pairs × each published error or none × equal counts or not."""
    pairs = [*values(measure), *around(measure)]
    for (before, after), error, at in product(pairs, (None, *measure.errors), (True, False)):
        yield compare(
            before,
            after,
            unit=measure.unit,
            better=measure.better,
            error=error,
            at_error_counts=at,
            important=measure.important,
        )


def plain(measure, change):
    return " ".join(str(part) for part in in_plain_words(measure.key, change))


every_measure = pytest.mark.parametrize("measure", MEASURES, ids=lambda measure: measure.key)
compared = pytest.mark.parametrize(
    "measure",
    [m for m in MEASURES if m.key not in ITSELF | NOT_COMPARED],
    ids=lambda measure: measure.key,
)


def test_the_walk_knows_a_verdict_when_it_sees_one():
    for verdict in (
        "You improved.",
        "A success.",
        "Significant change",
        "recovered",
        "a real change",
    ):
        assert VERDICT.search(verdict), verdict


@every_measure
def test_no_sentence_gives_a_verdict(measure):
    said = {str(change.sentence) for change in changes_of(measure)}
    said |= {plain(measure, change) for change in changes_of(measure)}
    said |= {str(part) for value in (0, 1, -1, 3) for part in one_value(measure.key, value)}

    assert {sentence for sentence in said if VERDICT.search(sentence)} == set()


@every_measure
def test_a_sentence_that_speaks_of_error_names_the_figure(measure):
    for change in changes_of(measure):
        said = str(change.sentence)
        if "measurement error of" in said:
            assert f"error of {change.error.value:g} {change.error.unit}." in said
        else:
            assert change.amount == 0 or change.error is None, said


@every_measure
def test_the_sentence_agrees_with_the_figures(measure):
    words = {True: "more than the", False: "within the", None: "no published"}
    for change in changes_of(measure):
        said = str(change.sentence)
        if change.amount == 0:
            assert said == "No change."
            continue
        assert said.startswith("Better by" if change.improvement > 0 else "Worse by")
        assert [word for word in words.values() if word in said] == [words[change.beyond_error]]


@every_measure
def test_no_sentence_has_a_hole(measure):
    for change in changes_of(measure):
        for said in (str(change.sentence), plain(measure, change)):
            assert not re.search(r" [;,.:]|  |%\(|None|\(\)", said), said


@compared
def test_the_patients_words_name_each_figure_that_they_stand_on(measure):
    for change in changes_of(measure):
        parts, said = in_plain_words(measure.key, change), plain(measure, change)
        if "same as before" in said:
            assert len(parts) == 1, said
            continue
        held = [row.figure for row in change.important if row.met is not None]
        figures = held if change.improvement > 0 else []
        sizes = [str(plain_of(measure.key).size(figure)) for figure in figures]
        assert [size for size in sizes if size not in said] == [], said
        assert said.count("reach") == bool(figures), said
        assert ("No study that fits" in said) == (change.error is None), said
        if change.error:
            assert f"less than {plain_of(measure.key).size(change.error)}." in said


@compared
def test_the_patients_words_reach_just_what_the_change_reaches(measure):
    for change in changes_of(measure):
        said = plain(measure, change)
        if change.improvement <= 0 or not change.important or "same as before" in said:
            continue
        held = [row.met for row in change.important if row.met is not None]
        none, every = not any(held), all(held)
        assert ("but not" in said) == (not none and not every), said
        assert ("all of them" in said or "reaches it" in said) == every, said
        assert ("none of them" in said or "not reach it" in said) == none, said


@compared
def test_the_patients_words_do_not_call_a_change_for_the_worse_anything_else(measure):
    worse = [change for change in changes_of(measure) if change.improvement < 0]
    said = {plain(measure, change) for change in worse}

    assert {sentence for sentence in said if "mattered" in sentence or "reach" in sentence} == set()


@every_measure
def test_the_patients_words_read_easily(measure):
    said = {plain(measure, change) for change in changes_of(measure)}
    lengths = {len(words_of(one)) for text in said for one in sentences_of(text)}

    assert min(map(reading_ease, said)) >= 80
    assert max(lengths) <= 25


@pytest.mark.parametrize("better", list(Better))
def test_each_direction_is_told_as_a_property_of_the_scale(better):
    change = compare(2, 5, unit="points", better=better)

    assert [str(part) for part in in_plain_words("pain_at_rest", change)][1] == (
        "Higher is better." if better is Better.UP else "Lower is better."
    )
