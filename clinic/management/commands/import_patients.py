"""`manage.py import_patients`: a file of patients or appointments, brought in without the pages."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from cases.forms.imports import ColumnsForm
from cases.importing import steps
from cases.importing.dates import ORDERS
from cases.importing.left_out import why
from cases.importing.reading import (
    DELIMITERS,
    ENCODINGS,
    guess_delimiter,
    guess_encoding,
    unreadable_line,
)
from cases.importing.survey import look
from cases.models import BroughtInAlready, Import
from clinic.audit import record
from clinic.management.manager import ask_for_manager, manager_of
from clinic.models import Staff
from clinic.templatetags.clinic_tags import say

CHUNK = 64 * 1024


class Command(BaseCommand):
    help = (
        "Bring in patients, or appointments to come, from a CSV file. The columns are known by their "
        "headings; what is not known is asked for as --answer NAME=VALUE."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("file", type=Path)
        ask_for_manager(parser)
        parser.add_argument(
            "--appointments", action="store_true", help="the file holds appointments"
        )
        parser.add_argument("--dry-run", action="store_true", help="check it, and write nothing")
        parser.add_argument("--good-rows", action="store_true", help="leave rows with errors out")
        parser.add_argument("--encoding", choices=list(ENCODINGS))
        parser.add_argument("--delimiter", choices=list(DELIMITERS.values()))
        parser.add_argument(
            "--dates", choices=list(ORDERS), help="which part of a date comes first"
        )
        parser.add_argument("--answer", action="append", default=[], metavar="NAME=VALUE")

    def handle(self, **options) -> None:
        by = manager_of(options["clinic"], options["by"])
        with by.clinic.own_time():
            self._bring_in(by, options)

    def _bring_in(self, by: Staff, options: dict) -> None:
        run = receive(options["file"], appointments=options["appointments"], by=by)
        try:
            understand(run, options)
            self._check(run, by=by)
            if options["dry_run"]:
                return
            self._write(run, by=by, all_or_nothing=not options["good_rows"])
        finally:
            run.refresh_from_db()
            if run.state in (run.State.OPEN, run.State.CHECKING, run.State.CHECKED):
                steps.stop(run, by=by)

    def _check(self, run: Import, *, by: Staff) -> None:
        self._go_on(run, by=by)
        self._say_left_out(run)
        counts = run.counts
        self.stdout.write(
            f"Rows that can be brought in: {counts['good']}, with an error: {counts['wrong']}, "
            f"there already: {counts['known']}."
        )

    def _write(self, run: Import, *, by: Staff, all_or_nothing: bool) -> None:
        try:
            steps.begin(run, all_or_nothing=all_or_nothing, anyway=[], by=by)
        except steps.CanNotBegin as refusal:
            raise CommandError(str(refusal)) from refusal
        self._go_on(run, by=by)
        run = Import.objects.get(pk=run.pk)
        if run.state != run.State.DONE:
            self._say_left_out(run)
            raise CommandError("A row turned out wrong meanwhile; what was in is taken back.")
        self.stdout.write(f"{run.counts['brought']} rows were brought in.")

    def _go_on(self, run: Import, *, by: Staff) -> None:
        run.refresh_from_db()
        while run.moves:
            steps.step(run, by=by, now=timezone.now())
            run.refresh_from_db()

    def _say_left_out(self, run: Import) -> None:
        for row in run.rows.left_out().in_order().iterator():
            self.stdout.write(f"line {row.line}: {why(run, row.problems)}")


def receive(path: Path, *, appointments: bool, by: Staff) -> Import:
    kind = Import.Kind.APPOINTMENTS if appointments else Import.Kind.PATIENTS
    try:
        with path.open("rb") as file:
            chunks = iter(lambda: file.read(CHUNK), b"")
            run = Import.objects.receive(chunks, kind=kind, name=path.name, by=by)
    except OSError as error:
        raise CommandError(str(error)) from error
    except BroughtInAlready as known:
        told = f"This very file was brought in already, on {known.run.made_at:%Y-%m-%d}."
        raise CommandError(told) from known
    record(by, "uploaded", run, what=kind, bytes=run.size, sha=run.sha256[:12])
    return run


def understand(run: Import, options: dict) -> None:
    """Name the columns as the page would propose it, with what was answered; refuse what stays open."""
    encoding = options["encoding"] or guess_encoding(run.parts)
    if (line := unreadable_line(run.parts, encoding)) is not None:
        raise CommandError(f"Line {line} can't be read as {ENCODINGS[encoding]}.")
    signs = {name: sign for sign, name in DELIMITERS.items()}
    delimiter = signs.get(options["delimiter"]) or guess_delimiter(run.parts, encoding)
    written = {"encoding": encoding, "delimiter": delimiter}
    seen = look(run.parts, **written)
    if seen.fault:
        raise CommandError(say(seen.fault))
    form = ColumnsForm(answers(run, seen, written, options), run=run, look=seen, written=written)
    if not form.is_valid():
        told = [f"{name}: {' '.join(texts)}" for name, texts in form.errors.items()]
        raise CommandError("\n".join(["Answer these with --answer NAME=VALUE.", *told]))
    run.understand(**form.said())


def answers(run: Import, seen, written: dict, options: dict) -> dict[str, str]:
    """What the form of the page would send: its proposals, then what was said on the command line."""
    form = ColumnsForm(None, run=run, look=seen, written=written)
    said = {name: form[name].value() or "" for name in form.fields}
    if options["dates"]:
        said |= {name: options["dates"] for name in said if name.startswith("order_")}
    return said | dict(one.partition("=")[::2] for one in options["answer"])
