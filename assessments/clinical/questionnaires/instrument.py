"""What every scored questionnaire has in common."""

from collections.abc import Mapping
from dataclasses import dataclass

from clinic.wording import Sentence

Answers = Mapping[int, int | None]


class NotScorable(ValueError):
    """Too many answers are missing; `reason` is the sentence for the page."""

    def __init__(self, reason: Sentence) -> None:
        super().__init__(str(reason))
        self.reason = reason


@dataclass(frozen=True, kw_only=True)
class Item:
    """One item by its number on the clinic's own form, with a neutral label for orientation."""

    number: int
    label: Sentence
    low: int
    high: int


def check_answers(answers: Answers, items: tuple[Item, ...]) -> None:
    """Raise ValueError for an unknown item number or an answer that is not whole and in range."""
    known = {item.number: item for item in items}
    for number, value in answers.items():
        if number not in known:
            raise ValueError(f"there is no item {number}")
        item = known[number]
        if value is None:
            continue
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError(f"item {number}: {value!r} is not a whole number")
        if not item.low <= value <= item.high:
            raise ValueError(f"item {number}: {value} is not from {item.low} to {item.high}")
