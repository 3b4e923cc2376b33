"""Who a record is about and who wrote it: Patient, Practitioner, Organization, and the Condition."""

from rehab.clinical.codes import (
    BASE,
    DIAGNOSES,
    SNOMED_DISORDER,
    SNOMED_ELBOWS,
)

from .draft import Draft, author_key, concept, hl7
from .facts import Json, facts
from .record import Author, CaseRecord, Person
from .texts import narrative

GENDERS = {"female": "female", "male": "male", "unstated": "unknown"}
CASE_FACTS = ("side", "status", "closed", "discharge_reason", "due_on")
NOT_A_DIAGNOSIS = (
    "Opened by a physiotherapist as lateral elbow tendinopathy. The code is for finding and billing; it is "
    "no medical diagnosis."
)


def write_people(draft: Draft, record: CaseRecord) -> None:
    _patient(draft, record.patient)
    _clinic(draft)
    for author in record.authors:
        _practitioner(draft, author)
    _condition(draft, record)


def _patient(draft: Draft, person: Person) -> None:
    numbers = {"system": f"urn:uuid:{draft.id('records')}", "value": draft.source.record}
    draft.add(
        "patient",
        "Patient",
        extension=facts("patient", person, ("handedness",)),
        identifier=[{"use": "usual", **numbers}],
        name=[{"family": person.family, "given": [person.given]}],
        telecom=_telecom(phone=person.phone, email=person.email),
        gender=GENDERS[person.sex],
        birthDate=person.born.isoformat(),
        communication=[_language(person.language)],
        managingOrganization=draft.ref("clinic"),
    )


def _telecom(**known: str) -> list[Json]:
    return [{"system": system, "value": value} for system, value in known.items() if value]


def _language(code: str) -> Json:
    return {
        "language": {"coding": [{"system": "urn:ietf:bcp:47", "code": code}]},
        "preferred": True,
    }


def _clinic(draft: Draft) -> None:
    source = draft.source
    draft.add(
        "clinic",
        "Organization",
        name=source.clinic,
        telecom=_telecom(phone=source.phone),
        address=[{"text": source.address}] if source.address else [],
    )


def _practitioner(draft: Draft, author: Author) -> None:
    register = {"system": f"urn:uuid:{draft.id('registrations')}", "value": author.registration}
    draft.add(
        author_key(author),
        "Practitioner",
        identifier=[register] if author.registration else [],
        name=[_name(author)],
    )


def _name(author: Author) -> Json:
    given = {"given": [author.given]} if author.given else {}
    return {"text": author.name, "family": author.family, **given}


def _condition(draft: Draft, record: CaseRecord) -> None:
    """The elbow that the case is about; provisional, since nobody here makes a medical diagnosis."""
    source = draft.source
    codes = [DIAGNOSES[source.diagnosis_codes, record.side]]
    sites = [SNOMED_ELBOWS[record.side]] if source.snomed else []
    is_open = record.status == "open"
    draft.add(
        "condition",
        "Condition",
        meta={"profile": [f"{BASE}/StructureDefinition/case"]},
        text=narrative([NOT_A_DIAGNOSIS]),
        extension=facts("case", record, CASE_FACTS),
        clinicalStatus=hl7("condition-clinical", *_clinical(is_open)),
        verificationStatus=hl7("condition-ver-status", "provisional", "Provisional"),
        code=concept(*codes, *([SNOMED_DISORDER] if source.snomed else [])),
        bodySite=[_site(sites, f"{record.side.value} lateral elbow")],
        subject=draft.ref("patient"),
        onsetDateTime=record.onset.isoformat(),
        recordedDate=record.opened.isoformat(),
        recorder=draft.by(record.lead),
    )


def _clinical(is_open: bool) -> tuple[str, str]:
    return ("active", "Active") if is_open else ("inactive", "Inactive")


def _site(codes: list, text: str) -> Json:
    return concept(*codes, text=text) if codes else {"text": text}
