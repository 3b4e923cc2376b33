"""`manage.py export_cases`: every case of a clinic as FHIR R4, a file for each kind of resource."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from clinic.acting import acting
from clinic.backup.progress import Progress
from clinic.management.manager import ask_for_manager, manager_of
from rehab.exchange.bulk import export_all


class Command(BaseCommand):
    help = (
        "Write all cases of a clinic as HL7 FHIR R4 into a new folder, one resource a line (NDJSON). "
        "Restricted records stay."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("folder", type=Path, help="is made; must not be there yet")
        ask_for_manager(parser)

    def handle(self, **options) -> None:
        by = manager_of(options["clinic"], options["by"])
        say = Progress(self.stdout, quiet=options["verbosity"] == 0)
        say.step(f"Writing the cases of {by.clinic} to {options['folder']}")
        with acting(by.pk), by.clinic.own_time():
            try:
                counts = export_all(by, options["folder"], told=say.share)
            except OSError as error:
                raise CommandError(str(error)) from error
        say.step(", ".join(f"{count} {kind}" for kind, count in sorted(counts.items())))
