"""Faults planted in a good document are found: the checkers can fail, each where it is strong."""

import copy

import pytest

from rehab.exchange.document import document
from tests.rehab.exchange.generated import SOMEWHERE
from tests.rehab.exchange.hl7.check import findings
from tests.rehab.exchange.whole import CASE


@pytest.fixture
def bundle():
    return document(CASE, SOMEWHERE)


def first(bundle, kind, **having):
    found = (entry["resource"] for entry in bundle["entry"])
    return next(
        one
        for one in found
        if one["resourceType"] == kind and all(name in one for name in having.get("has", ()))
    )


def measured(bundle):
    return first(bundle, "Observation", has=["valueQuantity"])


def detail(bundle):
    return first(bundle, "CarePlan")["activity"][0]["detail"]


def second_entry_alike(bundle):
    bundle["entry"].append(copy.deepcopy(bundle["entry"][-1]))


def nowhere(bundle):
    measured(bundle)["subject"]["reference"] = "urn:uuid:00000000-0000-0000-0000-000000000000"


def not_of_the_list(bundle):
    first(bundle, "Condition")["clinicalStatus"]["coding"][0]["code"] = "nearly"


def unit_of_nothing(bundle):
    measured(bundle)["valueQuantity"]["code"] = "kgforce"


def as_text(bundle):
    measured(bundle)["valueQuantity"]["value"] = "2"


def without_list(bundle):
    measured(bundle)["valueQuantity"].pop("system")


def backwards(bundle):
    first(bundle, "Encounter")["period"]["end"] = "2026-03-01"


def repeat(bundle):
    return detail(bundle)["scheduledTiming"]["repeat"]


# The fault, and who of the checkers finds it (among others).
FAULTS = {
    "Observation.status missing": (lambda b: measured(b).pop("status"), "required"),
    "Observation.status of no list": (lambda b: measured(b).update(status="done"), "binding"),
    "unknown element": (lambda b: measured(b).update(mood="fair"), "fhirkit"),
    "two values": (lambda b: measured(b).update(valueString="2"), "fhir.resources"),
    "a day that is none": (
        lambda b: measured(b).update(effectiveDateTime="2026-02-30"),
        "fhir.resources",
    ),
    "a time without zone": (
        lambda b: measured(b).update(effectiveDateTime="2026-03-02T09:30:00"),
        "schema",
    ),
    "CarePlan.subject missing": (lambda b: first(b, "CarePlan").pop("subject"), "required"),
    "activity.detail.status missing": (lambda b: detail(b).pop("status"), "required"),
    "clinicalStatus of no list": (not_of_the_list, "binding"),
    "a number as text": (as_text, "schema"),
    "a list where one belongs": (
        lambda b: measured(b).update(subject=[measured(b)["subject"]]),
        "fhirkit",
    ),
    "an empty list": (lambda b: measured(b).update(category=[]), "fhirkit"),
    "a reference to no entry": (nowhere, "reference"),
    "a document without Composition": (lambda b: b["entry"].pop(0), "bdl-11"),
    "two entries of one name": (second_entry_alike, "bdl-7"),
    "a value and why there is none": (
        lambda b: measured(b).update(dataAbsentReason={"text": "lost"}),
        "obs-6",
    ),
    "a unit that UCUM lacks": (unit_of_nothing, "ucum"),
    "a unit's code without its list": (without_list, "qty-3"),
    "an end before its start": (backwards, "per-1"),
    "a rhythm without its unit": (lambda b: repeat(b).pop("periodUnit"), "tim-2"),
    "a rhythm of no list": (lambda b: repeat(b).update(periodUnit="fortnight"), "binding"),
    "a phone number of no kind": (
        lambda b: first(b, "Patient")["telecom"][0].pop("system"),
        "cpt-2",
    ),
    "a signature without its moment": (
        lambda b: first(b, "Provenance", has=["signature"])["signature"][0].pop("when"),
        "required",
    ),
    "a status that an activity can't have": (lambda b: detail(b).update(status="soon"), "binding"),
    "a goal without words": (lambda b: first(b, "Goal").pop("description"), "required"),
    "a cancellation's reason at a visit that was": (
        lambda b: first(b, "Appointment").update(cancelationReason={"text": "ill"}),
        "app-4",
    ),
}


def test_the_document_without_a_fault_is_accepted(bundle):
    assert list(findings(bundle)) == []


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_is_found(bundle, fault):
    plant, finder = FAULTS[fault]

    plant(bundle)

    assert finder in {by for by, _where, _what in findings(bundle)}
