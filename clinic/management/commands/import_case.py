"""`manage.py import_case`: a case that another clinic has exported, brought in."""

import hashlib
import json
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from cases.models import Patient
from clinic.acting import acting
from clinic.audit import record
from clinic.models import Staff
from clinic.templatetags.clinic_tags import say
from rehab.exchange.bringing import OVER, Refused, bring_in
from rehab.exchange.reading import Unreadable, read
from rehab.exchange.record import CaseRecord, Person


class Command(BaseCommand):
    help = (
        "Bring in a case from a FHIR R4 document that export_case or the page of a case has written. "
        "Who wrote it there keeps their name, as an account that nobody can sign in with."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--by", required=True, help="name for signing in of who leads it here")
        parser.add_argument("--patient", type=int, help="record number, if the patient is here")
        parser.add_argument(
            "--new-patient", action="store_true", help="register one, though a record is alike"
        )

    def handle(self, **options) -> None:
        by = who_leads(options["by"])
        file, told = contents(options["file"])
        patient = patient_of(by, options, told.patient)
        with acting(by.pk):
            try:
                case = bring_in(told, by=by, patient=patient)
            except Refused as refused:
                raise CommandError(say(refused.told)) from refused
            mark = hashlib.sha256(file).hexdigest()[:12]
            record(by, "brought in", case, what="case as FHIR R4", sha=mark)
        self.stdout.write(f"Case {case.pk}, record {case.patient.record}.")
        self.say_left(told)

    def say_left(self, told: CaseRecord) -> None:
        left = [one for one in told.bookings if one.status not in OVER]
        if left:
            self.stdout.write(f"{len(left)} bookings still stand there and were not brought in.")


def who_leads(name: str) -> Staff:
    by = Staff.objects.called(name)
    if by is None or not by.may_write_clinical:
        raise CommandError("Name somebody with --by who may write clinical records.")
    return by


def contents(path: Path) -> tuple[bytes, CaseRecord]:
    try:
        file = path.read_bytes()
        return file, read(json.loads(file))
    except (OSError, Unreadable) as error:
        raise CommandError(str(error)) from error
    except ValueError as error:
        raise CommandError("This is not a file of JSON.") from error


def patient_of(by: Staff, options: dict, person: Person) -> Patient | None:
    """The patient that is named; none for a new one, which a record that is alike speaks against."""
    rows = Patient.objects.of(by.clinic)
    if (number := options["patient"]) is not None:
        if found := rows.numbered(number):
            return found
        raise CommandError("No patient has this record number.")
    names = {"given_name": person.given, "family_name": person.family}
    alike = rows.likely(**names, born=person.born)
    if alike and not options["new_patient"]:
        raise CommandError(
            f"Record {alike[0].record} may be the same person: name it with --patient, "
            "or say --new-patient."
        )
    return None
