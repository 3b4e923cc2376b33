"""Whose data a request has fetched, so that what it shows can be written into the trail.

`cases.access` tells of each row that it fetches for a person, and `Patient` of each of its rows that is
loaded: no view has to think of it. Outside of a request nobody listens.
"""

import contextlib
from collections.abc import Iterator
from contextvars import ContextVar
from dataclasses import dataclass, field

from django.db import models


@dataclass
class Fetched:
    """What one request has fetched of patients, and which of them its events name already."""

    page: str | None = None
    rows: dict[int | None, models.Model] = field(default_factory=dict)  # by patient, the first one
    loaded: set[int] = field(default_factory=set)
    searched: bool = False
    recorded: bool = False
    named: set[int | None] = field(default_factory=set)

    @property
    def unnamed(self) -> dict[int | None, models.Model]:
        """What no event of the request tells of; what is about many patients is told by any."""
        named = self.named | ({None} if self.recorded else set())
        return {patient: row for patient, row in self.rows.items() if patient not in named}

    @property
    def only(self) -> int | None:
        """The patient whom the request is about, where it is about one."""
        return next(iter(self.rows)) if len(self.rows) == 1 else None


_now: ContextVar[Fetched | None] = ContextVar("fetched", default=None)


def now() -> Fetched | None:
    return _now.get()


@contextlib.contextmanager
def listening() -> Iterator[Fetched]:
    """Whatever is fetched inside is noted, for one request."""
    fetched = Fetched()
    before = _now.set(fetched)
    try:
        yield fetched
    finally:
        _now.reset(before)


def row_of(patient: int | None, row: models.Model) -> None:
    """Note that a person asked for this row of a patient's; `None` for one about many patients."""
    if fetched := now():
        fetched.rows.setdefault(patient, row)


def loaded(patient: int) -> None:
    """Note that the patient was read out of the database, alone or in a list."""
    if fetched := now():
        fetched.loaded.add(patient)


def searched() -> None:
    """Note that somebody looked for patients by what they typed."""
    if fetched := now():
        fetched.searched = True
