"""A case as a file for another system, and the line in the trail that says so."""

import datetime
import hashlib
import json

from django.utils import timezone
from django.utils.translation import gettext as _

from cases.models import Case, Restriction
from clinic.audit import record
from clinic.models import Staff

from .document import checked, document
from .gather import gather, source_of


def refusal(case: Case, *, today: datetime.date) -> str | None:
    """Say why the case may not leave the clinic, or None."""
    if Restriction.objects.on_patient(case.patient_id, on=today):
        return _("The record is restricted: a copy goes to the patient alone.")
    return None


def export(case: Case, *, by: Staff) -> bytes:
    """The case as one FHIR document, noted in the trail."""
    bundle = document(gather(case), source_of(case, at=timezone.now()))
    checked(bundle)
    file = json.dumps(bundle, ensure_ascii=False, indent=1).encode()
    mark = hashlib.sha256(file).hexdigest()[:12]
    record(by, "exported", case, what="case as FHIR R4", sha=mark)
    return file


def file_name(case: Case) -> str:
    """Names of files are read by many: the record's number stands for the patient."""
    return f"case-{case.patient.record}-{case.pk}.fhir.json"
