"""Erasing a record whose time has passed: every row about the patient goes, a mark without content stays."""

import datetime
from collections.abc import Iterator

from django.db import connection, models, transaction
from django.db.models import Count, QuerySet, Value
from django.utils import timezone
from django.utils.translation import ngettext

from cases.models import ImportRow, Patient
from clinic.audit import record
from clinic.models import Change, Erasure, HeldForm, Staff
from clinic.wording import Sentence
from rehab.also_named import held_forms, import_rows
from rehab.copies.journal import rows_ever
from rehab.copies.reach import children_first, rows_about
from rehab.keeping import kept
from rehab.models import Handout, HandoutFile


class MayNotGo(Exception):
    """The record has to be kept; `reasons` say why."""

    def __init__(self, reasons: tuple[Sentence, ...]):
        super().__init__(reasons)
        self.reasons = reasons


def counted(patient: Patient) -> dict[str, int]:
    """How many rows would go, by the words that people know their tables by."""
    tables = dict(_rows(patient))
    first, *others = (
        rows.order_by().annotate(table=Value(n)).values("table").annotate(rows=Count("*"))
        for n, rows in enumerate(tables.values())
    )
    found = {row["table"]: row["rows"] for row in first.union(*others)}
    return _named({model: found.get(n, 0) for n, model in enumerate(tables)})


def _rows(patient: Patient) -> Iterator[tuple[type[models.Model], QuerySet]]:
    """The rows of each table, none before those that name it; the bytes of sheets before the sheets.

    What names the patient without a key comes first, while it can still be told by the rows that it is about.
    """
    yield HeldForm, held_forms(patient)
    yield HandoutFile, files_of(patient)
    for model in children_first():
        yield model, import_rows(patient) if model is ImportRow else rows_about(model, patient.pk)


def _named(counts: dict[type[models.Model], int]) -> dict[str, int]:
    named = {_word(model, count): count for model, count in counts.items() if count}
    return dict(sorted(named.items()))


def _word(model: type[models.Model], count: int) -> str:
    """What people know a table by. The one that joins sheets and packs is Django's, and has no such name."""
    if model._meta.auto_created:
        return ngettext("sheet in a pack", "sheets in packs", count)
    return str(model._meta.verbose_name if count == 1 else model._meta.verbose_name_plural)


def files_of(patient: Patient) -> QuerySet:
    """The bytes of the patient's sheets, but for those that are somebody else's sheet too."""
    sheets = Handout.objects.of(patient.clinic_id)
    mine = sheets.filter(patient=patient.pk).values("file")
    theirs = sheets.exclude(patient=patient.pk).values("file")
    return HandoutFile.objects.of(patient.clinic_id).filter(pk__in=mine).exclude(pk__in=theirs)


@transaction.atomic
def erase(patient: Patient, *, by: Staff, at: datetime.datetime) -> Erasure:
    """Erase the record. Raises MayNotGo while it has to be kept."""
    patient = Patient.objects.select_for_update().get(pk=patient.pk)
    facts = kept(patient)
    if reasons := facts.why_not(today=timezone.localdate(at)):
        raise MayNotGo(reasons)
    erasure = Erasure.begin(
        at=at,
        clinic=patient.clinic,
        patient_key=patient.pk,
        record_number=patient.record_number,
        last_contact=facts.last_contact,
        kept_until=facts.until,
        rule=str(facts.rule),
        erased_by=by,
    )
    counts = _remove(patient)
    _empty_journal(patient)
    erasure.finish(counts)
    record(by, "erased", erasure, record=patient.record_number)
    return erasure


def _remove(patient: Patient) -> dict[str, int]:
    """Delete the rows, none before those that name it, and count them by table.

    Past the collector of Django: it would read each row first and refuse what the models protect, which the
    database decides here.
    """
    _overwrite_what_goes()
    return _named({model: rows._raw_delete(rows.db) for model, rows in _rows(patient)})


def _empty_journal(patient: Patient) -> None:
    """Take out what the journal holds of the rows removed now, and of those removed in their time."""
    for model, numbers in rows_ever(patient.pk, clinic=patient.clinic_id).items():
        Change.objects.of(patient.clinic_id).of_rows(model, numbers).empty()


def _overwrite_what_goes() -> None:
    """SQLite leaves deleted content in the free pages of its file unless it is told to overwrite it."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA secure_delete = ON")
