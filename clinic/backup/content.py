"""What a database holds, so that two can be held against each other."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

# Filled by `migrate` itself: a database with nothing else in it is empty.
OF_THE_PROGRAM = {
    "django_migrations",
    "django_content_type",
    "auth_permission",
    "sqlite_sequence",
}


CHAIN = "clinic_link"
HEADS = """
    SELECT clinic_id, number, digest FROM clinic_link AS link
    WHERE number = (SELECT MAX(number) FROM clinic_link WHERE clinic_id = link.clinic_id)
"""


def heads(rows: Iterable[tuple[int, int, str]]) -> dict[str, str]:
    return {str(clinic): f"{number}:{digest}" for clinic, number, digest in rows}


@dataclass(frozen=True, kw_only=True)
class Content:
    """Rows of every table, one digest over every value and rule, and which migrations have been applied."""

    counts: Mapping[str, int]
    digest: str
    migrations: tuple[tuple[str, str], ...]
    # Where each clinic's audit trail ends: "number:digest" by the clinic's key.
    heads: Mapping[str, str]

    def differences(self, other: "Content") -> list[str]:
        """Say in what `other` differs: table by table, else that some value does."""
        counts = [
            (table, self.counts.get(table, "no"), other.counts.get(table, "no"))
            for table in sorted({*self.counts, *other.counts})
        ]
        told = [
            f"{table}: {was} rows, {now} in the copy" for table, was, now in counts if was != now
        ]
        if not told and self != other:
            told = ["as many rows, but not the same values"]
        return told
