"""Walks a clinic's chain and says where it first doesn't hold."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db import connection

from clinic.chain import BEGINNING, content_of, digest_of_content, digest_of_link
from clinic.models import AuditEvent, Change, Clinic, Link

AT_ONCE = 1000  # links in memory
ENTRIES = {"event": AuditEvent, "change": Change}


@dataclass(frozen=True, slots=True)
class Head:
    """Where a chain ends, so far: kept outside the database, it shows a tail that was cut off."""

    number: int = 0
    digest: str = BEGINNING

    def __str__(self) -> str:
        return f"{self.number}:{self.digest}"

    @classmethod
    def of(cls, clinic: Clinic | int) -> "Head":
        link = Link.objects.head(clinic)
        return cls(link.number, link.digest) if link else cls()

    @classmethod
    def read(cls, text: str) -> "Head":
        """From "12:0af3…"; anything else raises ValueError."""
        number, digest = text.strip().split(":")
        return cls(int(number), digest)


@dataclass(frozen=True, slots=True)
class Found:
    """The end of an unbroken chain, or what is wrong, as a sentence.

    `emptied` counts the changes whose columns were taken out: that they were there, and when, still shows;
    that nothing else about them was changed does not.
    """

    head: Head
    wrong: str = ""
    emptied: int = 0


def check(clinic: Clinic, expected: Head | None = None) -> Found:
    """Walk the chain from its beginning; `expected` is where it once ended."""
    head, emptied = Head(), 0
    for row in _links(clinic):
        if wrong := _wrong_with(head, *row):
            return Found(head, wrong)
        head = Head(row[0], row[4])
        emptied += row[5]
        if expected and expected.number == head.number and expected != head:
            return Found(head, f"Entry {head.number} is not the one that was expected.")
    if expected and expected.number > head.number:
        return Found(
            head, f"Entries {head.number + 1} to {expected.number} are missing at the end."
        )
    return Found(head, _outside(clinic), emptied)


def _wrong_with(before: Head, number, entry, content, linked, digest, emptied) -> str:
    """What is wrong with the link that follows `before`, or nothing."""
    if number != before.number + 1:
        return f"Entry {before.number + 1} is missing."
    if content is None:
        return f"Entry {number}, {entry}, has been removed."
    if not emptied and digest_of_content(content) != linked:
        return f"Entry {number}, {entry}, has been changed."
    if digest_of_link(before.digest, number, linked) != digest:
        return f"Entry {number}, {entry}, doesn't follow the one before it."
    return ""


def _links(clinic: Clinic) -> Iterator[tuple]:
    """Yield (number, what is linked, its text, its digest, the link's, if it was emptied), some at a time."""
    number, rows = 0, True
    while rows:
        with connection.cursor() as cursor:
            cursor.execute(_statement(), [clinic.pk, number, AT_ONCE])
            rows = cursor.fetchall()
        yield from rows
        number = rows[-1][0] if rows else number


def _statement() -> str:
    quote, vendor = connection.ops.quote_name, connection.vendor
    contents = {of: content_of(model, vendor, of, quote) for of, model in ENTRIES.items()}
    return (
        "SELECT number, CASE WHEN event_id IS NULL THEN 'change ' || change_id "  # noqa: S608 # nosec B608 # names of our own
        "ELSE 'event ' || event_id END, CASE WHEN event.id IS NOT NULL "
        f"THEN {contents['event']} WHEN change.id IS NOT NULL THEN {contents['change']} END, "
        "content, digest, CASE WHEN change.kind <> 'added' AND change.before IS NULL THEN 1 ELSE 0 END "
        "FROM clinic_link AS link "
        "LEFT JOIN clinic_auditevent AS event ON event.id = link.event_id "
        "LEFT JOIN clinic_change AS change ON change.id = link.change_id "
        "WHERE link.clinic_id = %s AND number > %s ORDER BY number LIMIT %s"
    )


def _outside(clinic: Clinic) -> str:
    """Name the first row that no link of the chain holds."""
    for of, model in ENTRIES.items():
        with connection.cursor() as cursor:
            # Both engines do this in one pass; joined, SQLite would look at every link for every row.
            cursor.execute(
                f"SELECT id FROM {model._meta.db_table} WHERE clinic_id = %s EXCEPT "  # noqa: S608 # nosec B608 # names of our own
                f"SELECT {of}_id FROM clinic_link WHERE number > 0 ORDER BY 1 LIMIT 1",
                [clinic.pk],
            )
            first = cursor.fetchone()
        if first:
            return f"{of.capitalize()} {first[0]} is not in the chain."
    return ""
