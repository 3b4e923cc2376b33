"""The run of a backup, noted in the database for the manager's page and in every clinic's trail."""

import datetime

from django.db import DatabaseError, transaction

from clinic.audit import record_unattended
from clinic.backup.making import Made
from clinic.backup.refusal import Refused
from clinic.models import BackupRun


def note_made(
    made: Made, *, tried: bool, trail: str, began: datetime.datetime, ended: datetime.datetime
) -> None:
    """Refused when it can't be noted: the file is there all the same. `trail` says how it is broken."""
    try:
        with transaction.atomic():
            name, size = made.path.name, made.size
            BackupRun.objects.create(
                began_at=began, ended_at=ended, name=name, size=size, tried=tried, trail=trail
            )
            told = {"trail": "broken"} if trail else {}
            record_unattended("backed up", file=name, bytes=size, tried=tried, **told)
    except DatabaseError as error:
        raise Refused(
            f"{made.path} was made, but the database could not note it; is “migrate” still to be run?"
        ) from error


def note_problem(why: Refused, *, began: datetime.datetime, ended: datetime.datetime) -> None:
    """Note that there is none. Where the database is the problem, the command's own answer must do."""
    try:
        BackupRun.objects.create(began_at=began, ended_at=ended, problem=str(why))
    except DatabaseError:
        return
