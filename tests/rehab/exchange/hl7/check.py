"""A bundle against what the project has not written: every finding as (checker, resource, what).

fhir.resources: HL7's types as Python classes. fhirkit: a second reading of them, in Rust. HL7's JSON schema,
required elements, closed code lists and invariants (by fhirpathpy): cut from HL7's own files, see README.md.
ucumvert: the grammar of units. No one of them finds every fault, see test_planted_faults.py.
"""

import functools
import json
from pathlib import Path

import fhirkit
import fhirpathpy
import jsonschema
import ucumvert
from fhir.resources.R4B.bundle import Bundle
from fhirpathpy.models import models
from lark.exceptions import LarkError
from pydantic import ValidationError

HERE = Path(__file__).parent
DEFINED = json.loads((HERE / "definitions.json").read_text())
SCHEMA = json.loads((HERE / "schema.json").read_text())
UCUM = "http://unitsofmeasure.org"
# What fhirpathpy 2.2.4 has no function for: htmlChecks(), resolve() of an entry.
BEYOND_FHIRPATHPY = {"txt-1", "txt-2", "dom-3"}
# Nor for hasValue(), which here is what FHIR says of it: one primitive, with a value.
FUNCTIONS = {
    "userInvocationTable": {"hasValue": {"fn": lambda found: [len(found) == 1], "arity": {0: []}}}
}
# "Has a value or children" holds for whatever JSON can say here; the others find what is empty.
TRUE_OF_ALL = {"ele-1", "ext-1"}


def findings(bundle):
    text = json.dumps(bundle)
    yield from by_classes(text)
    yield from by_fhirkit(text)
    for resource in (bundle, *(entry["resource"] for entry in bundle["entry"])):
        yield from by_schema(resource)
        yield from by_definitions(resource, bundle)
    yield from by_references(bundle)
    yield from by_units(bundle)


def by_classes(text):
    try:
        Bundle.model_validate_json(text)
    except ValidationError as error:
        for one in error.errors():
            yield "fhir.resources", ".".join(map(str, one["loc"])), one["msg"]


def by_fhirkit(text):
    for issue in fhirkit.validate(text):
        yield "fhirkit", "", str(issue)


@functools.cache
def schema_of(kind):
    return jsonschema.Draft6Validator({**SCHEMA, "oneOf": [{"$ref": f"#/definitions/{kind}"}]})


def by_schema(resource):
    """An entry is checked by itself: within its bundle every kind of resource would be tried."""
    kind = resource["resourceType"]
    for error in schema_of(kind).iter_errors(alone(resource)):
        yield "schema", kind, f"{error.json_path}: {error.message[:100]}"


def alone(resource):
    if resource["resourceType"] != "Bundle":
        return resource
    entries = [{key: one[key] for key in one if key != "resource"} for one in resource["entry"]]
    return {**resource, "entry": entries}


def by_definitions(resource, bundle, kind=None):
    """A resource, or with `kind` a part of one, against each element that HL7 defines of it."""
    kind = kind or resource["resourceType"]
    for row in DEFINED["elements"].get(kind, ()):
        parent, _, leaf = row["path"].rpartition(".")
        if parent and row["min"]:
            yield from missing(resource, kind, parent, leaf)
        yield from not_listed(resource, row)
        yield from broken(resource, bundle, row)
        for part, its_kind in parts(resource, row):
            yield from by_definitions(part, bundle, its_kind)


def parts(resource, row):
    """The values of an element that have rules of their own; `value[x]` is called after its type."""
    for kind in row.get("types", ()):
        for part in at(resource, row["path"].replace("[x]", kind)):
            yield part, kind


def at(resource, path):
    """Each value under a path such as `Observation.component.code`."""
    found = [resource]
    for name in path.split(".")[1:]:
        under = [one.get(name) for one in found if isinstance(one, dict)]
        found = [one for value in under for one in (value if isinstance(value, list) else [value])]
    return [one for one in found if one is not None]


def missing(resource, kind, parent, leaf):
    for one in at(resource, parent):
        name = leaf.removesuffix("[x]")
        has = any(key == name or (leaf.endswith("[x]") and key.startswith(name)) for key in one)
        if not has:
            yield "required", kind, f"{parent}.{leaf} is missing"


def not_listed(resource, row):
    listed = DEFINED["codes"].get(row.get("required"))
    for value in at(resource, row["path"]) if listed else ():
        codings = value.get("coding", ()) if isinstance(value, dict) else ()
        for code in [value] if isinstance(value, str) else [one.get("code") for one in codings]:
            if code not in listed:
                yield "binding", row["path"], f"{code} is not in {row['required']}"


@functools.cache
def compiled(expression):
    return fhirpathpy.compile(expression, models["r4"], FUNCTIONS)


def broken(resource, bundle, row):
    rules = [one for one in row["constraint"] if one["key"] not in BEYOND_FHIRPATHPY | TRUE_OF_ALL]
    for node in at(resource, row["path"]) if rules else ():
        for rule in rules:
            context = {"resource": resource, "rootResource": bundle}
            if compiled(rule["expression"])(node, context) == [False]:
                yield rule["key"], row["path"], rule["human"]


def walk(part):
    if isinstance(part, dict):
        yield part
        part = list(part.values())
    for one in part if isinstance(part, list) else ():
        yield from walk(one)


def by_references(bundle):
    known = {entry["fullUrl"] for entry in bundle["entry"]}
    for part in walk(bundle["entry"]):
        named = part.get("reference")
        if isinstance(named, str) and named not in known:
            yield "reference", named, "no entry has this fullUrl"


UNITS = ucumvert.get_ucum_parser()


@functools.cache
def unit_fault(code):
    try:
        UNITS.parse(code)
    except LarkError as error:
        return str(error).splitlines()[0]
    return None


def by_units(bundle):
    for part in walk(bundle["entry"]):
        if part.get("system") == UCUM and (fault := unit_fault(part.get("code"))):
            yield "ucum", str(part.get("code")), fault
