"""A case as one FHIR R4 document: the Composition first, then all that it names."""

from typing import Any

from fhir.resources.R4B.bundle import Bundle

from rehab.clinical.codes import BASE, LOINC_NOTICE, RECORD_OF_CASE

from .battery import write_round
from .diary import diary_key, write_diary
from .draft import Draft, concept, quantity
from .facts import Json, facts, moment
from .observations import VisitWriter
from .people import write_people
from .plan import program_key, write_plan
from .record import CaseRecord, ProgramRecord, Source, VisitRecord
from .texts import narrative

PROFILE = f"{BASE}/StructureDefinition/case-document"
VISIT_FACTS = ("due_on", "signed_name", "signed_registration")
AUTHORS_SIGNATURE = {
    "system": "urn:iso-astm:E1762-95:2013",
    "code": "1.2.840.10065.1.12.1.1",
    "display": "Author's Signature",
}


def document(record: CaseRecord, source: Source) -> dict[str, Any]:
    """The bundle as JSON. Raises pydantic's ValidationError for what FHIR's own types refuse."""
    draft = Draft(source)
    composed: list[Json] = []
    write_people(draft, record)
    write_plan(draft, record)
    write_diary(draft, record)
    for visit in record.visits:
        composed.append(_visit(draft, visit))
    for program in record.programs:
        _signed_program(draft, program)
    sections = [*_sections(draft, record), *composed, _notice()]
    written, draft.resources = draft.resources, []
    _composition(draft, record, sections)
    return _bundle(draft, [*draft.resources, *written])


def _bundle(draft: Draft, resources: list[Json]) -> dict[str, Any]:
    urn = draft.ref("document")["reference"]
    return {
        "resourceType": "Bundle",
        "id": draft.id("document"),
        "meta": {"profile": [PROFILE]},
        "identifier": {"system": "urn:ietf:rfc:3986", "value": urn},
        "type": "document",
        "timestamp": moment(draft.source.made_at),
        "entry": [{"fullUrl": f"urn:uuid:{one['id']}", "resource": one} for one in resources],
    }


def checked(bundle: dict[str, Any]) -> Bundle:
    """The bundle through the types of `fhir.resources`. Raises its ValidationError, a ValueError."""
    return Bundle.model_validate(bundle)


def _composition(draft: Draft, record: CaseRecord, sections: list[Json]) -> None:
    draft.add(
        "composition",
        "Composition",
        status="final",
        type=concept(RECORD_OF_CASE, text="Record of a case"),
        subject=draft.ref("patient"),
        date=moment(draft.source.made_at),
        author=[draft.ref("clinic")],
        title=f"Case of the {record.side.value} elbow, opened on {record.opened.isoformat()}",
        custodian=draft.ref("clinic"),
        section=sections,
    )


def _sections(draft: Draft, record: CaseRecord) -> list[Json]:
    """What the case holds beside its visits; a section that is empty is none."""
    goals = [f"goal/{one.position}" for one in record.activities]
    programs = [program_key(one) for one in record.programs]
    bookings = [f"booking/{number}" for number, _one in enumerate(record.bookings, start=1)]
    found = (
        ("What it is about", ["condition"]),
        ("What the patient wants to do again", goals),
        ("Home program", programs),
        ("Diary at home", [diary_key(one) for one in record.diary]),
        ("Appointments", bookings),
    )
    return [_section(draft, title, keys) for title, keys in found if keys]


def _section(draft: Draft, title: str, keys: list[str], lines: list[str] | None = None) -> Json:
    text = {"text": narrative(lines)} if lines else {}
    return {"title": title, **text, "entry": [draft.ref(key) for key in keys]}


def _notice() -> Json:
    return {"title": "Codes", "text": narrative([LOINC_NOTICE])}


def visit_key(visit: VisitRecord) -> str:
    return f"visit/{visit.on.isoformat()}/{moment(visit.signed_at)}"


def _visit(draft: Draft, visit: VisitRecord) -> Json:
    """Write the visit, all that it holds, and who signed it; return its section."""
    key = visit_key(visit)
    day = visit.on.isoformat()
    length = {"length": quantity(visit.minutes, "min", "min")} if visit.minutes else {}
    draft.add(
        key,
        "Encounter",
        extension=facts("visit", visit, VISIT_FACTS),
        status="finished",
        class_=_AMBULATORY,
        subject=draft.ref("patient"),
        participant=[{"individual": draft.by(visit.practitioner)}],
        period={"start": day, "end": day},
        reasonReference=[draft.ref("condition")],
        serviceProvider=draft.ref("clinic"),
        **length,
    )
    writer = VisitWriter(draft, key, visit)
    writer.write()
    if visit.battery:
        write_round(writer, visit.battery)
    _signature(draft, key, [key, *writer.written], visit)
    signed = f"Signed by {visit.signed_name} {visit.signed_registration}".rstrip()
    return _section(draft, f"Visit of {day}", [key, *writer.written], [signed])


_AMBULATORY = {
    "system": "http://terminology.hl7.org/CodeSystem/v3-ActCode",
    "code": "AMB",
    "display": "ambulatory",
}


def _signature(draft: Draft, key: str, targets: list[str], visit: VisitRecord) -> None:
    when, who = moment(visit.signed_at), draft.by(visit.signed_by)
    draft.add(
        f"{key}/signature",
        "Provenance",
        target=[draft.ref(one) for one in targets],
        recorded=when,
        agent=[{"who": who, "onBehalfOf": draft.ref("clinic")}],
        signature=[{"type": [AUTHORS_SIGNATURE], "when": when, "who": who}],
    )


def _signed_program(draft: Draft, program: ProgramRecord) -> None:
    when, who = moment(program.issued_at), draft.by(program.issued_by)
    draft.add(
        f"{program_key(program)}/issued",
        "Provenance",
        target=[draft.ref(program_key(program))],
        recorded=when,
        agent=[{"who": who, "onBehalfOf": draft.ref("clinic")}],
    )
