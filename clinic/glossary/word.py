"""What the page “Words” says of one word."""

from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_lowercase

from clinic.evidence import Status


@dataclass(frozen=True, slots=True)
class Unlike:
    """Another word that is taken for this one; `how` it differs follows it after “which”."""

    word: str
    how: str

    @property
    def anchor(self) -> str:
        return anchor(self.word)


@dataclass(frozen=True, slots=True)
class Source:
    """Where a meaning comes from; `limits` is what it does not cover."""

    words: str
    status: Status
    limits: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """A word and what it means here, in one or two sentences. `unit` is empty for what is not counted."""

    word: str
    meaning: str
    unit: str = ""
    unlike: tuple[Unlike, ...] = ()
    source: Source | None = None

    @property
    def anchor(self) -> str:
        """Its place on the page."""
        return anchor(self.word)


@dataclass(frozen=True, slots=True)
class Part:
    """Words that belong together."""

    title: str
    words: tuple[Word, ...]

    @property
    def marked(self) -> Iterator[tuple[Word, str]]:
        """Each word with the letter of the note that holds its source, or with none."""
        letters = iter(ascii_lowercase)
        return ((word, next(letters) if word.source else "") for word in self.words)


def anchor(word: str) -> str:
    """The place of a word on the page, as in /words/#grip-ratio."""
    return word.lower().replace(" ", "-")
