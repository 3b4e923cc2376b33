"""The patient's text is plain: short sentences and common words."""

import pytest

from rehab.clinical.exercises import COMMON
from rehab.printing import advice
from tests.rehab.printing.reading import (
    flesch,
    reading_ease,
    sentences_of,
    spoken,
    syllables,
    words_of,
)
from tests.rehab.printing.sheets import LIMITS


def advice_text() -> str:
    levels = advice.pain_levels(LIMITS)
    sentences = [
        advice.SCALE,
        advice.USUAL,
        *(sentence for level in levels for sentence in (*level.when, level.act)),
        *advice.stop_signs(LIMITS),
        advice.HELP_WHERE,
        *advice.HELP_TODAY,
        advice.emergency("112"),
        *advice.call_us(6),
        *advice.WHY,
        *advice.EXPECT,
        *advice.CAUTION,
        *COMMON,
    ]
    return " ".join(str(sentence) for sentence in sentences)


# Worked by hand from the printed formula.
@pytest.mark.parametrize(
    ("words", "sentences", "count", "expected"),
    [(100, 10, 130, 86.705), (100, 7, 140, 73.895), (100, 5, 160, 51.175)],
)
def test_the_formula_gives_the_computed_values(words, sentences, count, expected):
    found = flesch(words=words, sentences=sentences, syllables=count)

    assert found == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize(
    ("word", "count"),
    [("pain", 1), ("elbow", 2), ("exercise", 3), ("table", 2), ("moved", 1), ("rested", 2),
     ("inflammation", 4), ("going", 2), ("while", 1), ("suddenly", 3), ("2", 1)],
)  # fmt: skip
def test_syllables_are_counted_as_they_are_spoken(word, count):
    assert syllables(word) == count


@pytest.mark.parametrize(("word", "count"), [("untwists", 2), ("tingles", 2), ("qqq", 1)])
def test_a_word_that_the_dictionary_lacks_counts_by_its_vowels(word, count):
    assert (word in spoken(), syllables(word)) == (False, count)


def test_the_advice_reads_easily():
    assert reading_ease(advice_text()) >= 80


def test_sentences_are_short_on_average_and_none_is_long():
    lengths = [len(words_of(sentence)) for sentence in sentences_of(advice_text())]

    assert sum(lengths) / len(lengths) <= 20
    assert max(lengths) <= 25


def test_hard_text_is_found_hard():
    hard = "Progressive resistance rehabilitation necessitates individualized pathophysiological evaluation."

    assert reading_ease(hard) < 30
