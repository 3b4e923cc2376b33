"""Flesch reading ease, for checking that the patient's text is plain.

Flesch (1948), J Appl Psychol 32:221–233: 206.835 − 1.015 × words/sentences − 84.6 × syllables/words.
Syllables are counted by runs of vowels, a silent final e left out: right for most English words, one
too few for some ("going") and one too many for others. Numbers count as one syllable.
"""

import re


def flesch(*, words: float, sentences: float, syllables: float) -> float:
    return 206.835 - 1.015 * words / sentences - 84.6 * syllables / words


def syllables(word: str) -> int:
    word = word.lower().replace("'", "")
    runs = len(re.findall(r"[aeiouy]+", word))
    silent = word.endswith("e") and not word.endswith("le")
    silent |= word.endswith("es") and not re.search(r"(s|x|z|ch|sh|c|g)es$", word)
    silent |= word.endswith("ed") and not re.search(r"(t|d)ed$", word)
    return max(1, runs - (silent and runs > 1))


def words_of(text: str) -> list[str]:
    return re.findall(r"[A-Za-z']+|\d[\d.,–]*", text)


def sentences_of(text: str) -> list[str]:
    return [part for part in re.split(r"(?<=[.!?:])\s+", text) if words_of(part)]


def reading_ease(text: str) -> float:
    words = words_of(text)
    return flesch(
        words=len(words),
        sentences=len(sentences_of(text)),
        syllables=sum(syllables(word) for word in words),
    )
