"""Whether two names are likely to be one person's, as a receptionist would judge it."""

import unicodedata
from difflib import SequenceMatcher

# Common practice, no source: "Marit Oyelaran" and "Marit Oyelarin" are worth a second look,
# "Marit Oyelaran" and "Marit Olsen" are not.
ALIKE_FROM = 0.82


def fold(name: str) -> str:
    """Return `name` without accents, case and doubled spaces, for comparing and searching."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode() or name
    return " ".join(plain.casefold().split())


def bare(name: str) -> str:
    """Return `name` as it is compared: no case, accents, hyphens or order of its parts."""
    return " ".join(sorted(fold(name).replace("-", " ").split()))


def alike(one: str, other: str) -> bool:
    """Say whether two full names are the same but for a slip: a letter, an accent, the order of the parts."""
    return SequenceMatcher(None, bare(one), bare(other)).ratio() >= ALIKE_FROM
