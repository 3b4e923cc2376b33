"""A round of provocation tests as Observations: the round, and under it each test and each point pressed."""

from cases.clinical.battery import BY_CODE
from cases.clinical.palpation import POINT
from rehab.clinical.codes import BASE, OWN, PAIN_0_TO_10, Code

from .draft import concept, hl7, own, score
from .facts import Json, facts, facts_of
from .found import of
from .observations import EXAM, VisitWriter
from .record import Finding, Pressed, Round

ROUND_FACTS = ("performed_on", "performed_by", "resting_pain", "despite")
FINDING_FACTS = (
    "test", "side", "finger", "answer", "pain", "where", "why_not_done", "strength", "tingling",
    "variant",
)  # fmt: skip
POINT_FACTS = ("point", "side", "pain")
TESTS = f"{BASE}/CodeSystem/provocation-test"
POINTS = f"{BASE}/CodeSystem/palpation-point"
ANSWERS = f"{BASE}/CodeSystem/provocation-answer"
SAID = {"none": "No pain", "familiar": "Familiar pain", "other": "Other pain"}


def write_round(writer: VisitWriter, done: Round) -> None:
    """Write the round and what was found; the pain at rest before it is the round's own value."""
    day = done.performed_on.isoformat()
    members = [
        *(_finding(writer, found, day) for found in done.findings),
        *(_pressed(writer, point, day) for point in done.points),
    ]
    writer.observe(
        "battery",
        kind=EXAM,
        extension=facts("battery", done, ROUND_FACTS),
        effectiveDateTime=day,
        valueQuantity=score(done.resting_pain),
        hasMember=[writer.draft.ref(key) for key in members],
    )


def _finding(writer: VisitWriter, found: Finding, day: str) -> str:
    test = BY_CODE[found.test]
    code = Code(system=TESTS, code=test.code, display=test.name)
    finger = f", finger {found.finger}" if found.finger else ""
    return writer.observe(
        "finding",
        key=f"battery/{found.test}/{found.side}/{found.finger or ''}",
        kind=EXAM,
        code_=concept(OWN["finding"], code, text=test.name),
        extension=facts("finding", found, FINDING_FACTS),
        effectiveDateTime=day,
        bodySite={"text": f"{found.side} arm{finger}"},
        method={"text": _how(test)},
        component=_rated(found),
        **_answer(found),
    )


def _how(test) -> str:
    parts = (("elbow", test.elbow), ("forearm", test.forearm), ("wrist", test.wrist))
    placed = "; ".join(f"{name}: {text}" for name, text in parts if text)
    return f"{placed}; resisted at: {test.resisted}" if test.resisted else placed


def _answer(found: Finding) -> Json:
    """What the patient felt; a test that was not done has no value, and its reason."""
    if found.answer not in SAID:
        absent = hl7("data-absent-reason", "not-performed", "Not Performed")
        return {"dataAbsentReason": absent | {"text": found.why_not_done}}
    code = Code(system=ANSWERS, code=found.answer, display=SAID[found.answer])
    return {"valueCodeableConcept": concept(code)}


def _rated(found: Finding) -> list[Json]:
    if found.pain is None:
        return []
    return [{"code": own("pain_in_test", PAIN_0_TO_10), "valueQuantity": score(found.pain)}]


def _pressed(writer: VisitWriter, pressed: Pressed, day: str) -> str:
    point = POINT[pressed.point]
    code = Code(system=POINTS, code=point.code, display=point.name)
    return writer.observe(
        "palpation",
        key=f"palpation/{pressed.point}/{pressed.side}",
        kind=EXAM,
        code_=concept(OWN["palpation"], code),
        extension=facts("palpation", pressed, POINT_FACTS),
        effectiveDateTime=day,
        bodySite={"text": f"{pressed.side} elbow: {point.name}"},
        valueQuantity=score(pressed.pain),
    )


def read_round(seen: list[Json]) -> Round | None:
    """The round among a visit's observations, if there was one."""
    for one in of(seen, "battery"):
        return Round(
            findings=tuple(Finding(**facts_of(f, "finding")) for f in of(seen, "finding")),
            points=tuple(Pressed(**facts_of(p, "palpation")) for p in of(seen, "palpation")),
            **facts_of(one, "battery"),
        )
    return None
