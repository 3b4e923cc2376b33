"""What the journal holds of a patient's rows: their changes, and those of rows that were removed."""

from collections.abc import Iterator

from django.db import models
from django.db.models import Q

from cases.models import Patient
from clinic.models import Change

from .as_data import Names, somebody
from .reach import Model, links, parents_first, rows_about

Numbers = dict[Model, set[int]]


def rows_ever(patient: int, *, clinic: int) -> Numbers:
    """The numbers of the patient's rows by model, of those that are there and of those that were removed.

    A removal is journaled with the whole row, its keys too; so a row that is long gone is found by the row
    that it named.
    """
    found: Numbers = {Patient: {patient}}
    for model in parents_first():
        if model is not Patient:
            there = rows_about(model, patient).values_list("pk", flat=True)
            found[model] = {*there, *_removed(model, found, clinic)}
    return found


def _removed(model: Model, found: Numbers, clinic: int) -> models.QuerySet:
    named = Q(pk__in=[])
    for field in links(model):
        if field.related_model in found:
            named |= Q(**{f"before__{field.column}__in": list(found[field.related_model])})
    removals = Change.objects.of(clinic).filter(
        named, table_name=model._meta.db_table, kind=Change.Kind.REMOVED
    )
    return removals.values_list("row_id", flat=True)


def changes_of(patient: Patient) -> list[int]:
    """The numbers of the changes of the patient's rows, in their order, but for those that keep nothing."""
    numbers: set[int] = set()
    for model, rows in rows_ever(patient.pk, clinic=patient.clinic_id).items():
        about = (
            Change.objects.of(patient.clinic_id)
            .of_rows(model, rows)
            .exclude(before=None, after=None)
        )
        numbers.update(about.values_list("pk", flat=True))
    return sorted(numbers)


def changes(numbers: list[int]) -> Iterator[Change]:
    return Change.objects.filter(pk__in=numbers).order_by("pk")


def change_data(change: Change, names: Names) -> dict[str, object]:
    plain = ("table_name", "row_id", "kind", "before", "after")
    told = {name: getattr(change, name) for name in plain}
    return {"id": change.pk, "at": change.at, "actor": somebody(change.actor_id, names)} | told
