"""Where a number comes from, and how far it can be trusted.

Every threshold and published figure in a `clinical/` module is a `Figure`, so that pages and paper can
show the source beside the value and never claim more for it than it has.
"""

from dataclasses import dataclass
from enum import StrEnum

from clinic.wording import gettext_noop


class Status(StrEnum):
    """How a figure is known. The value is the word that is shown."""

    PUBLISHED = gettext_noop("published")
    SECOND_HAND = gettext_noop("published, read second-hand")
    CONVENTION = gettext_noop("common practice, no source")
    FROM_MEMORY = gettext_noop("from memory, not checked")
    COMPUTED = gettext_noop("computed from published figures")
    CLINIC_SETTING = gettext_noop("the clinic's own setting")


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One number with its unit, source and status; `limits` says what it does not cover."""

    value: float
    unit: str
    source: str
    status: Status
    limits: str = ""

    def __str__(self) -> str:
        return f"{self.value:g} {self.unit}".rstrip()
