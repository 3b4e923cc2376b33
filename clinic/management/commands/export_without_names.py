"""`manage.py export_without_names`: the cases of a clinic for research, as the page makes the file."""

import contextlib
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from clinic.audit import record
from clinic.management.manager import ask_for_manager, manager_of
from rehab.clinical.without_names import SMALLEST_CELLS, USUAL_CELL, people_in, small_cells
from rehab.research.archive import archive
from rehab.research.gather import Unnamed
from rehab.views.research import told


@contextlib.contextmanager
def whole(path: Path) -> Iterator[BinaryIO]:
    """A new file, which is taken away again when it is not written to its end."""
    with path.open("xb") as target:
        try:
            yield target
        except BaseException:  # Ctrl-C too
            path.unlink()
            raise


class Command(BaseCommand):
    help = (
        "Write the cases of a clinic as a ZIP archive of CSV files with a dictionary: without names, "
        "with dates moved. What is in it is still about persons: keep it as you keep records."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("file", type=Path, help="must not be there yet")
        ask_for_manager(parser)
        parser.add_argument(
            "--smallest",
            type=int,
            choices=list(SMALLEST_CELLS),
            default=USUAL_CELL,
            help="warn when fewer people than this are alike",
        )

    def handle(self, *, file: Path, clinic: str, by: str | None, smallest: int, **options) -> None:
        manager, now = manager_of(clinic, by), timezone.now()
        with manager.clinic.own_time():
            made = Unnamed(manager.clinic, at=now, today=timezone.localdate(now))
        try:
            with whole(file) as target:
                record(manager, "exported", **told(made, smallest=smallest))
                target.writelines(archive(made, smallest=smallest))
        except OSError as error:
            raise CommandError(str(error)) from error
        few = small_cells(made.cells, smallest=smallest)
        self.stdout.write(f"{len(made.cases)} cases of {made.people} people are in {file}.")
        if few:
            self.stdout.write(
                f"{people_in(few)} people are among fewer than {smallest} of the same age band, "
                "sex and side: they are found more easily."
            )
