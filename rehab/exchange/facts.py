"""What FHIR has no element for, as an extension of our own: one value under the name of each field."""

import datetime
from collections.abc import Iterable, Mapping
from typing import Any

from rehab.clinical.codes import BASE

Json = dict[str, Any]
# bool before int and datetime before date: each is the other's child.
KINDS = (
    (bool, "valueBoolean"),
    (int, "valueInteger"),
    (float, "valueDecimal"),
    (datetime.datetime, "valueDateTime"),
    (datetime.date, "valueDate"),
    (str, "valueString"),
)
READ = {
    "valueDecimal": float,
    "valueDateTime": datetime.datetime.fromisoformat,
    "valueDate": datetime.date.fromisoformat,
}


def moment(at: datetime.datetime) -> str:
    """An instant in UTC, with the seconds that FHIR asks for."""
    return at.astimezone(datetime.UTC).isoformat().replace("+00:00", "Z")


def facts(name: str, row: object, fields: Iterable[str]) -> list[Json]:
    """The extension that holds the named fields of `row`; none where all of them are empty."""
    held = [{"url": field, **_value(one)} for field in fields for one in _each(getattr(row, field))]
    return [{"url": f"{BASE}/StructureDefinition/{name}", "extension": held}] if held else []


def _each(value: object) -> tuple[object, ...]:
    if isinstance(value, tuple):
        return value
    return () if value is None or value == "" else (value,)


def _value(value: object) -> Json:
    kind = next(kind for type_, kind in KINDS if isinstance(value, type_))
    if isinstance(value, datetime.datetime):
        return {kind: moment(value)}
    return {kind: value.isoformat() if isinstance(value, datetime.date) else value}


def facts_of(element: Mapping[str, Any], name: str, *, lists: tuple[str, ...] = ()) -> Json:
    """What `facts` wrote, by the name of the field; those named in `lists` as tuples."""
    url = f"{BASE}/StructureDefinition/{name}"
    held = [one for one in element.get("extension", ()) if one["url"] == url]
    found: Json = {field: () for field in lists}
    for one in held[0]["extension"] if held else ():
        field, value = one["url"], _read(one)
        found[field] = (*found[field], value) if field in lists else value
    return found


def _read(held: Mapping[str, Any]) -> object:
    kind, value = next((key, value) for key, value in held.items() if key.startswith("value"))
    return READ.get(kind, lambda same: same)(value)
