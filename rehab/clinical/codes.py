"""Codes of others for what a case holds, each with where it was read, and our own where there is none.

A near code is not borrowed: LOINC has hand grip by dynamometer and doesn't say whether it was free of pain,
so pain-free grip has our own code, and only maximal grip has LOINC's too.
"""

from dataclasses import dataclass
from functools import partial

from cases.clinical.labels import Labelled
from cases.clinical.sides import Side
from clinic.evidence import Status
from clinic.wording import gettext_noop

# ".example" is nobody's (RFC 2606): these addresses name our own lists and lead nowhere.
BASE = "https://lateral-elbow-clinic.example/fhir"
LOCAL = f"{BASE}/CodeSystem/measure"
EXERCISES = f"{BASE}/CodeSystem/exercise"
LOINC = "http://loinc.org"
SNOMED = "http://snomed.info/sct"
UCUM = "http://unitsofmeasure.org"
HL7 = "http://terminology.hl7.org/CodeSystem"

# From memory, not checked: what the licence of LOINC asks to be shown beside its codes.
LOINC_NOTICE = (
    "This material contains content from LOINC (http://loinc.org). LOINC is copyright © Regenstrief "
    "Institute, Inc. and the Logical Observation Identifiers Names and Codes (LOINC) Committee and is "
    "available at no cost under the license at http://loinc.org/license. LOINC® is a registered United "
    "States trademark of Regenstrief Institute, Inc."
)


@dataclass(frozen=True, kw_only=True)
class Code:
    """One code of a list, with the words of that list; `source` and `status` say how it is known."""

    system: str
    code: str
    display: str
    source: str = "our own"
    status: Status = Status.CONVENTION


class DiagnosisCodes(Labelled):
    """Which list a clinic's country reports by."""

    WHO = "icd-10", gettext_noop("ICD-10 (World Health Organization)")
    US = (
        "icd-10-cm",
        gettext_noop("ICD-10-CM (United States)"),
    )  # the choices of Clinic.diagnosis_codes


_cm = partial(
    Code,
    system="http://hl7.org/fhir/sid/icd-10-cm",
    source="CDC tabular list of 1 April 2026, in simple-icd-10-cm 1.5.0",
    status=Status.PUBLISHED,
)
_WHO = Code(
    system="http://hl7.org/fhir/sid/icd-10",
    code="M77.1",
    display="Lateral epicondylitis",
    source="WHO list, in simple-icd-10 2.1.1; it has no digit for the side",
    status=Status.PUBLISHED,
)
DIAGNOSES = {
    (DiagnosisCodes.WHO, Side.RIGHT): _WHO,
    (DiagnosisCodes.WHO, Side.LEFT): _WHO,
    (DiagnosisCodes.US, Side.RIGHT): _cm(
        code="M77.11", display="Lateral epicondylitis, right elbow"
    ),
    (DiagnosisCodes.US, Side.LEFT): _cm(code="M77.12", display="Lateral epicondylitis, left elbow"),
}

_snomed = partial(Code, system=SNOMED, status=Status.SECOND_HAND)
SNOMED_DISORDER = _snomed(
    code="202855006",
    display="Lateral epicondylitis",
    source="public test data that lists the hierarchy",
)
SNOMED_ELBOWS = {
    Side.RIGHT: _snomed(
        code="368149001",
        display="Right elbow region structure",
        source="public terminology files",
    ),
    Side.LEFT: _snomed(
        code="368148009",
        display="Left elbow region structure",
        source="public terminology files",
    ),
}

PAIN_0_TO_10 = Code(
    system=LOINC,
    code="72514-3",
    display="Pain severity - 0-10 verbal numeric rating [Score] - Reported",
    source="a mirror of loinc.org: active",
    status=Status.SECOND_HAND,
)
_grip = partial(
    Code, system=LOINC, source="loinc.org/83145-3, version 2.80", status=Status.PUBLISHED
)
HAND_GRIP = {
    Side.RIGHT: _grip(code="83174-3", display="Grip strength Hand - right Dynamometer"),
    Side.LEFT: _grip(code="83173-5", display="Grip strength Hand - left Dynamometer"),
}
RECORD_OF_CASE = Code(
    system=LOINC,
    code="11506-3",
    display="Progress note",
    source="a type of document",
    status=Status.FROM_MEMORY,
)

# The unit as UCUM writes it. A dynamometer's "kg" is a force: `kg` would be a mass.
UNITS = {"N": "N", "kgf": "kgf", "lbf": "[lbf_av]"}

_OWN = {
    "pain_at_rest": "Pain at rest, 0 to 10",
    "pain_worst_24h": "Worst pain in 24 hours, 0 to 10",
    "pain_on_gripping": "Pain on gripping, 0 to 10",
    "pain_during_exercise": "Pain during exercise, 0 to 10",
    "pain_next_morning": "Pain next morning, 0 to 10",
    "grip_pain_free": "Pain-free grip, mean of the trials that count",
    "grip_maximal": "Maximal grip, mean of the trials that count",
    "grip_ratio": "Pain-free grip, affected to other side",
    "prtee": "15-item tennis elbow evaluation, total 0 to 100",
    "prtee_pain": "15-item tennis elbow evaluation, pain 0 to 50",
    "prtee_function": "15-item tennis elbow evaluation, function 0 to 50",
    "activities": "The patient's own activities, mean of the ratings 0 to 10",
    "activity": "One of the patient's own activities, 0 unable to 10 as before",
    "global_rating": "Global rating of change, −5 very much worse to 5 completely recovered",
    "time_off_work": "Days off work for this elbow since the last visit",
    "subjective": "Note: subjective",
    "objective": "Note: objective",
    "assessment": "Note: assessment",
    "plan": "Note: plan",
    "treatment": "Note: treatment given",
    "battery": "Round of provocation tests; its value is the pain at rest before it, 0 to 10",
    "finding": "Provocation test of the elbow",
    "pain_in_test": "Pain in the test, 0 to 10",
    "palpation": "Pain when a point is pressed, 0 to 10",
    "diary_day": "A day of the diary at home",
    "sets_done": "Sets done",
    "load": "Load of the main exercise",
    "addendum": "Addendum to a signed visit",
    "straight": "Elbow straight, palm down",
    "bent": "Elbow at 90 degrees",
    "too_fast": "Does not count: squeezed too fast",
    "past_pain": "Does not count: went on past the first pain",
    "slipped": "Does not count: slipped or was read wrongly",
    **{f"grip_trial_{number}": f"Grip trial {number}" for number in range(1, 7)},
}
OWN = {code: Code(system=LOCAL, code=code, display=words) for code, words in _OWN.items()}
