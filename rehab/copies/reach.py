"""Which rows are about a patient: found through the foreign keys of the models, so that none is missed."""

from collections.abc import Iterator
from functools import cache
from graphlib import TopologicalSorter

from django.apps import apps
from django.db import models

from cases.models import Patient

Model = type[models.Model]


def links(model: Model) -> Iterator[models.ForeignKey]:
    """The foreign keys of a model."""
    return (field for field in model._meta.concrete_fields if isinstance(field, models.ForeignKey))


@cache
def reach() -> dict[Model, tuple[str, ...]]:
    """Each model that leads to a patient by foreign keys, with the lookups that do."""
    found: dict[Model, tuple[str, ...]] = {Patient: ("pk",)}
    waiting = set(apps.get_models(include_auto_created=True)) - {Patient}
    while new := {
        model for model in waiting if any(f.related_model in found for f in links(model))
    }:
        # All keys of a model are looked at once each model that it names has been: see `in_order`.
        found |= dict.fromkeys(new, ())
        waiting -= new
    for model in _parents_first(found):
        if model is not Patient:
            found[model] = tuple(_lookups(model, found))
    return found


def _lookups(model: Model, found: dict[Model, tuple[str, ...]]) -> Iterator[str]:
    for field in links(model):
        for lookup in (
            found.get(field.related_model, ()) if field.related_model is not model else ()
        ):
            yield field.name if lookup == "pk" else f"{field.name}__{lookup}"


def _parents_first(found: dict[Model, tuple[str, ...]]) -> tuple[Model, ...]:
    named = {
        model: {f.related_model for f in links(model)} & found.keys() - {model} for model in found
    }
    return tuple(TopologicalSorter(named).static_order())


def parents_first() -> tuple[Model, ...]:
    """The models in such an order that each comes after those that it names."""
    return _parents_first(reach())


def children_first() -> tuple[Model, ...]:
    """The models in the order in which their rows can go: none before those that name it."""
    return tuple(reversed(parents_first()))


def rows_about(model: Model, patient: int) -> models.QuerySet:
    """The rows of a model that lead to a patient, by whichever key.

    Each key is followed by itself: asked for "this or that one" across joins, a database reads whole tables.
    """
    rows = model._base_manager.order_by()
    by_each = [rows.filter(**{lookup: patient}).values("pk") for lookup in reach()[model]]
    inner = by_each[0].union(*by_each[1:]) if by_each[1:] else by_each[0]
    return model._base_manager.filter(pk__in=inner)
