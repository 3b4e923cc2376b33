"""The tables and their dictionary as one ZIP archive, sent while it is made."""

import zipfile
from collections.abc import Iterable, Iterator

from clinic.csv_file import lines
from rehab.clinical.without_names import OLDEST, SMALLEST_CELLS, people_in, small_cells
from rehab.research.columns import dictionary, measures
from rehab.research.gather import Unnamed

FULL = 64 * 1024  # bytes that are sent at once

ABOUT = """\
Cases of lateral elbow tendinopathy, without names
===================================================

{cases} cases of {people} people. Each table is one file; dictionary.csv says what each column is,
measure-dictionary.csv what each measure is. Codes join the tables: patient, case, visit.

What was done
- No name, number, contact, practitioner, clinic or text that somebody typed is in these files.
- Codes and days are made anew for each file, by a key that nobody keeps (HMAC, RFC 2104, with SHA-256).
- All dates of one patient are moved by the same number of days, 1 to 365, earlier or later: the days
  between them are true, the dates are not. (Common practice, no source.)
- Ages are in whole years; {oldest} stands for {oldest} and more ({oldest_source}; {oldest_status}).
- Restricted and erased records are left out.

What that is not
- It is not anonymous. Whoever knows a person's age, sex, elbow or treatment may find them.
- It is not the safe harbor of {oldest_source}: that has no dates but their year.
- Keep it as you keep records, give it to nobody who has not agreed in writing to do so, and put it
  together with no other data about the same people. The law and the ethics committee of your place
  come first.

How few are alike
{alike} combinations of age band, sex and side occur. {small} of them have fewer than {smallest} people,
{few} people in all. The limit of {smallest}: {limit_source}; {limit_status}.
cases.csv has ages in years beside the bands, which is finer than this count: take the column out
before you hand the file on, where the bands are enough.
"""


def about(file: Unnamed, *, smallest: int) -> str:
    small, limit = small_cells(file.cells, smallest=smallest), SMALLEST_CELLS[smallest]
    return ABOUT.format(
        cases=len(file.cases),
        people=file.people,
        oldest=f"{OLDEST.value:g}",
        oldest_source=OLDEST.source,
        oldest_status=OLDEST.status.value,
        alike=len(file.cells),
        small=len(small),
        few=people_in(small),
        smallest=smallest,
        limit_source=limit.source,
        limit_status=limit.status.value,
    )


def archive(file: Unnamed, *, smallest: int) -> Iterator[bytes]:
    """The archive in pieces: in memory are those of some cases, and the numbers of all."""
    members = [
        ("about.txt", iter([about(file, smallest=smallest)])),
        ("dictionary.csv", lines(dictionary())),
        ("measure-dictionary.csv", lines(measures())),
        *((f"{name}.csv", lines(rows)) for name, rows in file.tables()),
    ]
    return _zipped(members)


class _Outbox:
    """A file that can't be looked back into: it hands over what was written to it."""

    def __init__(self):
        self.held = bytearray()

    def write(self, data: bytes) -> int:
        self.held += data
        return len(data)

    def flush(self) -> None:
        """There is nothing behind it."""

    def take(self) -> bytes:
        data, self.held = bytes(self.held), bytearray()
        return data


def _zipped(members: Iterable[tuple[str, Iterator[str]]]) -> Iterator[bytes]:
    outbox = _Outbox()
    with zipfile.ZipFile(outbox, "w") as zipped:
        for name, texts in members:
            # Without a time: when the file was made would say how far the dates can be moved.
            told = zipfile.ZipInfo(name)
            told.compress_type = zipfile.ZIP_DEFLATED
            with zipped.open(told, "w") as member:
                for text in texts:
                    member.write(text.encode())
                    if len(outbox.held) > FULL:
                        yield outbox.take()
    yield outbox.take()
