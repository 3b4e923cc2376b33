"""Whose program it is. A row of another clinic does not exist."""

from django.http import Http404
from django.shortcuts import get_object_or_404

from cases.access import of_record
from clinic import fetched
from clinic.models import Erasure, Staff
from rehab.clinical.exercises import CODES
from rehab.clinical.thresholds import Limits
from rehab.models import CaseExport, Handout, PackRun, Program, RecordCopy, ThresholdChange
from rehab.models.catalog import Catalog


def program_or_404(user: Staff, pk: int) -> Program:
    """An issued program of the person's clinic."""
    programs = Program.objects.of(user.clinic).issued().with_exercises()
    return of_record(programs, user, pk, patient="case__patient")


def handout_or_404(user: Staff, pk: int) -> Handout:
    """A sheet that was handed out in the person's clinic, of a kind that they may print."""
    sheets = Handout.objects.shown_to(user).with_bytes()
    return of_record(sheets, user, pk, patient="patient")


def pack_run_or_404(user: Staff, pk: int) -> PackRun:
    """The packs of a day that somebody of the person's clinic has asked for, counted."""
    run = get_object_or_404(PackRun.objects.of(user.clinic).counted(), pk=pk)
    fetched.row_of(None, run)
    return run


def case_export_or_404(user: Staff, pk: int) -> CaseExport:
    """An export of cases that somebody of the person's clinic has asked for, counted."""
    export = get_object_or_404(CaseExport.objects.of(user.clinic).counted(), pk=pk)
    fetched.row_of(None, export)
    return export


def record_copy_or_404(user: Staff, pk: int) -> RecordCopy:
    """A copy of the record of a patient of the person's clinic."""
    copy = get_object_or_404(RecordCopy.objects.of(user.clinic).with_people(), pk=pk)
    fetched.row_of(copy.patient_id, copy)
    return copy


def erasure_or_404(user: Staff, pk: int) -> Erasure:
    """What remains of a record that the person's clinic has erased."""
    erasures = Erasure.objects.of(user.clinic).select_related("erased_by")
    erasure = get_object_or_404(erasures, pk=pk)
    fetched.row_of(erasure.patient_key, erasure)
    return erasure


def limits_or_404(user: Staff, code: str, *, lock: bool = False) -> Limits:
    """The limits in force in the person's clinic, among them the setting `code`.

    `lock=True` keeps others from changing any of them until the transaction ends: two that are ordered
    must not be moved past each other at the same time.
    """
    if lock:
        user.clinic.locked()
    limits = ThresholdChange.objects.limits(user.clinic)
    if code not in limits or not limits[code].setting:
        raise Http404(code)
    return limits


def catalog_of(user: Staff, *, lock: bool = False) -> Catalog:
    """The exercises of the person's clinic; `lock=True` lets one at a time change them."""
    if lock:
        user.clinic.locked()
    return Catalog(clinic_id=user.clinic_id)


def catalog_or_404(user: Staff, code: str, *, own: bool = False, lock: bool = False) -> Catalog:
    """The exercises of the person's clinic, among them `code`; with `own` one that it has written itself."""
    catalog = catalog_of(user, lock=lock)
    if code not in catalog.own and (own or code not in CODES):
        raise Http404(code)
    return catalog
