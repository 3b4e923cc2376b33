"""The rows of a file, some at a time: what each says, and whether it can be brought in."""

import datetime
from collections.abc import Iterable
from itertools import islice

from cases.importing import patients
from cases.importing.appointments import Desk, Whose
from cases.importing.reading import Row, plain, rows, too_few
from cases.importing.times import check_times
from cases.models import Import, ImportRow
from clinic.templatetags.clinic_tags import say

GOOD, WRONG = ImportRow.State.GOOD, ImportRow.State.WRONG


def check_some(run: Import, *, count: int, now: datetime.datetime) -> None:
    """Check the next `count` rows of the file and keep what was found; after the last one all are checked."""
    source = rows(run.parts(), encoding=run.encoding, delimiter=run.delimiter)
    first = 1 + run.checked  # after the head
    read = [_staged(run, row) for row in islice(source, first, first + count)]
    judge(run, read, now=now, with_rows=True)
    ImportRow.objects.bulk_create(read)
    run.checked += len(read)
    if len(read) < count:
        run.state = run.State.CHECKED
    run.save(update_fields=["checked", "state"])


def _staged(run: Import, row: Row) -> ImportRow:
    """A row with the cells that have a meaning; no other column is kept."""
    staged = ImportRow(clinic_id=run.clinic_id, run=run, line=row.line, state=GOOD)
    if fault := row.fault or too_few(row, len(run.head)):
        staged.refuse(WRONG, "", say(fault))
        return staged
    staged.cells = {code: plain(row.cells[place]) for code, place in run.columns.items()}
    return staged


def judge(run: Import, read: list[ImportRow], *, now: datetime.datetime, with_rows: bool) -> list:
    """Note on each row what stands against it now; return what the good ones would become.

    `with_rows` compares with the rows further up in the file too, which is done once, before anything is
    brought in.
    """
    sound = [row for row in read if row.state == GOOD]
    if run.is_of_patients:
        return _judge_patients(run, sound, with_rows=with_rows)
    return _judge_appointments(run, sound, now=now, with_rows=with_rows)


def _judge_patients(run: Import, sound: list[ImportRow], *, with_rows: bool) -> list:
    read = [(row, patients.read_patient(row, run)) for row in sound]
    patients.note_known(sound, patients.People(run, sound, with_rows=with_rows))
    if with_rows:
        patients.note_numbers(sound, run)
    return [pair for pair in read if pair[0].state == GOOD]


def _judge_appointments(
    run: Import, sound: list[ImportRow], *, now: datetime.datetime, with_rows: bool
) -> list:
    desk = Desk.of(run, now=now, with_rows=with_rows)
    for row in sound:
        desk.read(row)
    readable = _good(sound)
    whose = Whose(run, readable)
    for row in readable:
        row.patient = whose.name(row)
    check_times(readable, desk)
    return [(row, row.patient) for row in _good(sound)]


def _good(found: Iterable[ImportRow]) -> list[ImportRow]:
    return [row for row in found if row.state == GOOD]
