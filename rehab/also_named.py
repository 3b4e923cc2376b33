"""Where a patient is named without a key: forms that wait for their typist, and rows of files.

Erasing finds all other rows by their foreign keys (`rehab/copies/reach.py`).
"""

import re
from collections.abc import Iterator
from urllib.parse import parse_qsl

from django.db.models import QuerySet

from cases.clinical.names import alike
from cases.importing.patients import sorted_name
from cases.models import Import, ImportRow, Patient
from clinic.models import HeldForm
from rehab.copies.reach import rows_about
from rehab.refusals import ROWS

PATH = re.compile(r"^/([a-z-]+/)(\d{1,18})/")


def held_forms(patient: Patient) -> QuerySet:
    """What staff of the clinic typed too late into a form about the patient, or with the patient's name."""
    theirs = HeldForm.objects.filter(staff__clinic=patient.clinic_id)
    found = [held.pk for held in theirs.iterator() if _is_about(held, patient)]
    return HeldForm.objects.filter(pk__in=found)


def _is_about(held: HeldForm, patient: Patient) -> bool:
    typed = parse_qsl(held.text)
    named = ("patient", str(patient.pk)) in typed
    return named or _path_leads_to(held.path, patient) or _names(typed, patient)


def _path_leads_to(path: str, patient: Patient) -> bool:
    where, number = PATH.match(path).groups() if PATH.match(path) else ("", "")
    model = ROWS.get(where)
    return model is not None and rows_about(model, patient.pk).filter(pk=int(number)).exists()


def _names(typed: list[tuple[str, str]], patient: Patient) -> bool:
    """Whether both names stand in it as words; one alone may be anybody's."""
    words = set(re.findall(r"\w+", " ".join(value for _name, value in typed).casefold()))
    return set(re.findall(r"\w+", str(patient).casefold())) <= words


def import_rows(patient: Patient) -> QuerySet:
    """Rows of files that became this patient, and those with the name and birth date that were left out."""
    rows = ImportRow.objects.of(patient.clinic_id).filter(patient=None, born=patient.born)
    name = sorted_name(str(patient))
    alike_ones = [row.pk for row in rows.defer("cells", "problems") if alike(row.name, name)]
    return rows_about(ImportRow, patient.pk) | ImportRow._base_manager.filter(pk__in=alike_ones)


def unfinished_imports(patient: Patient) -> Iterator[Import]:
    """Files that are still kept whole and name the patient, or may: nobody has read them to the end yet."""
    waiting = Import.objects.of(patient.clinic_id).exclude(state__in=Import.OVER)
    naming = set(import_rows(patient).values_list("run", flat=True))
    unread = (Import.State.OPEN, Import.State.CHECKING)
    return (run for run in waiting if run.state in unread or run.pk in naming)
