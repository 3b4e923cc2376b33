"""`manage.py export_case`: a case as one FHIR R4 document, without the pages."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from cases.models import Case
from clinic.management.manager import manager_of
from clinic.models import Staff
from rehab.exchange.export import export, file_name, refusal


class Command(BaseCommand):
    help = "Write a case as an HL7 FHIR R4 document: what is signed and issued, for another system."

    def add_arguments(self, parser) -> None:
        parser.add_argument("case", type=int, help="its number, as in the address of its page")
        parser.add_argument("--by", help="a manager's name for signing in; if there are several")
        parser.add_argument("--out", type=Path, help="a file or folder; else where you are")

    def handle(self, **options) -> None:
        case = Case.objects.with_people().filter(pk=options["case"]).first()
        if case is None:
            raise CommandError("No case has this number.")
        by = manager_of(str(case.clinic_id), options["by"])
        with by.clinic.own_time():
            self._export(case, by, options["out"])

    def _export(self, case: Case, by: Staff, out: Path | None) -> None:
        if why_not := refusal(case, today=timezone.localdate()):
            raise CommandError(why_not)
        path = where(out, case)
        try:
            path.write_bytes(export(case, by=by))
        except OSError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"Written to {path}")


def where(out: Path | None, case: Case) -> Path:
    return out if out and not out.is_dir() else (out or Path()) / file_name(case)
