"""Why an answer is asked for: the figures behind it, and what speaks against them."""

from dataclasses import dataclass

from clinic.evidence import Figure, Status


@dataclass(frozen=True, kw_only=True)
class Named:
    """What a source names without a number that could be compared."""

    limits: str
    source: str
    status: Status


@dataclass(frozen=True, kw_only=True)
class Reason:
    """Why an answer is asked for, with what is known; `disagree` names what speaks against it."""

    title: str
    why: str
    figures: tuple[Figure | Named, ...] = ()
    disagree: str = ""
