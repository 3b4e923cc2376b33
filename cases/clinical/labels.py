"""Enumerations that are stored as a short word and shown as a phrase."""

from enum import StrEnum
from typing import Self


class Labelled(StrEnum):
    """A stored slug and the message shown for it: `RIGHT = "right", gettext_noop("right")`."""

    label: str

    def __new__(cls, slug: str, label: str) -> Self:
        member = str.__new__(cls, slug)
        member._value_ = slug
        member.label = label
        return member

    @classmethod
    def choices(cls) -> list[tuple[str, str]]:
        """Return (stored, shown) pairs in the order they are declared."""
        return [(member.value, member.label) for member in cls]
