"""`manage.py demo`: an invented clinic to look at and try, in a database of its own."""

import contextlib
from pathlib import Path

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.utils import timezone

from cases.models import Case, Patient
from clinic.management.demo.build import MARK, build
from clinic.management.demo.people import PASSWORD, STAFF, ZONE
from clinic.management.demo.walkthrough import FOLLOW_UP, NEW, NEW_TELLS, PAPER, PROPOSED
from clinic.models import AuditEvent, Clinic

FILE_NAME = "demo.sqlite3"


class Command(BaseCommand):
    help = "Build an invented clinic in a database of its own and serve it on this machine alone."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--fresh", action="store_true", help="build it anew, as of today")
        parser.add_argument("--port", type=int, default=8000, help="where to serve it")
        parser.add_argument("--no-serve", action="store_true", help="build it and stop")

    def handle(self, *, fresh: bool, port: int, no_serve: bool, **options) -> None:
        refuse_elsewhere()
        if fresh:
            remove_database()
        self._prepare()
        self._say_what_to_try()
        if no_serve:
            return
        self.stdout.write(f"Open http://127.0.0.1:{port}/ – Ctrl+C ends it.\n")
        self.stdout.flush()
        call_command("runserver", f"127.0.0.1:{port}", use_reloader=False)

    def _prepare(self) -> None:
        self.stdout.write("Preparing the demo …")
        self.stdout.flush()
        call_command("migrate", verbosity=0)
        if Clinic.objects.exists():
            self.stdout.write("It is there already; --fresh builds it anew, as of today.")
            return
        with statements_unlogged():
            build(now=timezone.now())

    def _say_what_to_try(self) -> None:
        write = self.stdout.write
        write(f"\nSign in with the password “{PASSWORD}” as")
        for name, given, family, role, _number in STAFF:
            write(f"  {name:6} {given} {family}, {role.value}")
        new, follow_up = (case_of(story) for story in (NEW, FOLLOW_UP))
        write("\nTry this as ines (both patients are hers today):")
        write(
            f"1. First visit: {new.patient}, record {new.patient.record}. From intake to program."
        )
        for line in NEW_TELLS:
            write(f"   {line}")
        write(f"2. Follow-up: {follow_up.patient}, record {follow_up.patient.record}.")
        write("   Type in this paper diary; the rules then propose to " + PROPOSED + ".")
        for line in paper_lines():
            write(f"   {line}")
        write("")


def refuse_elsewhere() -> None:
    """Raise CommandError when the database is not the demo's own."""
    database = connection.settings_dict
    if connection.vendor != "sqlite" or Path(database["NAME"]).name != FILE_NAME:
        raise CommandError(
            f"The demo only touches its own file {FILE_NAME}, never {database['NAME']}. "
            "Start it with “manage.py demo”."
        )
    refuse_foreign_rows()


def refuse_foreign_rows() -> None:
    """Raise CommandError when a clinic is there that the demo did not build."""
    tables = connection.introspection.table_names()
    if Clinic._meta.db_table not in tables or not Clinic.objects.exists():
        return
    if not AuditEvent.objects.filter(verb=MARK).exists():
        raise CommandError(
            "This database holds a clinic that the demo did not build, so the demo leaves it alone."
        )


def remove_database() -> None:
    connection.close()
    for ending in ("", "-wal", "-shm"):
        Path(f"{connection.settings_dict['NAME']}{ending}").unlink(missing_ok=True)


@contextlib.contextmanager
def statements_unlogged():
    """Without the log that DEBUG keeps of each statement: it would take as long as the statements."""
    connection.make_debug_cursor = connection.make_cursor
    try:
        yield
    finally:
        del connection.make_debug_cursor


def case_of(story) -> Case:
    patients = Patient.objects.filter(
        given_name=story.person.given, family_name=story.person.family
    )
    return Case.objects.with_people().get(patient__in=patients)


def paper_lines() -> list[str]:
    """The paper diary as the patient wrote it, one line a day."""
    built = timezone.localdate(AuditEvent.objects.get(verb=MARK).at, ZONE)
    head = "day         sets  last set  kg   worst pain  next morning  woken"
    return [head, *(_paper_line(day, built) for day in PAPER)]


def _paper_line(day, built) -> str:
    on = day.on(built)
    if not day.sets:
        return f"{on:%a %d %b}     0         –   –            –  {day.morning:12}  {day.woken:5}"
    return (
        f"{on:%a %d %b}  {day.sets:4}  {day.last_set:8}  {day.kg:g}  {day.worst:11}"
        f"  {day.morning:12}  {day.woken:5}"
    )
