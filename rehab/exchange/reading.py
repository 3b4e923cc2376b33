"""A document of this layout back as a `CaseRecord`; another system's bundle is refused with a sentence."""

import datetime
from collections.abc import Iterator
from typing import Any

from assessments.clinical.questionnaires.tennis_elbow import ITEMS
from assessments.models.own import SINGLE
from cases.clinical.sides import Side

from .battery import read_round
from .diary import read_diary
from .document import PROFILE, VISIT_FACTS, checked
from .facts import Json, facts_of
from .found import coded, first, of, value
from .observations import NOTES, SCORED
from .people import GENDERS
from .plan import STATES
from .record import (
    Activity,
    Added,
    Author,
    Booking,
    CaseRecord,
    Exercise,
    Form,
    Grip,
    Person,
    ProgramRecord,
    Trial,
    VisitRecord,
)

SEXES = {gender: sex for sex, gender in GENDERS.items()}
STATUSES = {state: status for status, state in STATES.items()}
PAIN = "pain_"


class Unreadable(ValueError):
    """The document is none of a case in this layout; the message is a sentence."""


def read(bundle: dict[str, Any]) -> CaseRecord:
    """The case that `document` wrote. Raises Unreadable for anything else."""
    if PROFILE not in _profiles(bundle):
        raise Unreadable("This is not a case as this software exports it.")
    try:
        checked(bundle)
        return Reader(bundle).case()
    except (LookupError, TypeError, ValueError) as error:
        raise Unreadable(f"The case can't be read: {type(error).__name__}.") from error


def _profiles(bundle: object) -> list[str]:
    meta = bundle.get("meta") if isinstance(bundle, dict) else None
    found = meta.get("profile") if isinstance(meta, dict) else None
    return found if isinstance(found, list) else []


class Reader:
    """Looks a document's resources up by what they name."""

    def __init__(self, bundle: dict[str, Any]) -> None:
        self.by_url = {one["fullUrl"]: one["resource"] for one in bundle["entry"]}

    def all(self, kind: str) -> Iterator[tuple[str, Json]]:
        return ((url, one) for url, one in self.by_url.items() if one["resourceType"] == kind)

    def one(self, kind: str) -> Json:
        return first(one for _url, one in self.all(kind))

    def author(self, reference: Json) -> Author:
        found = self.by_url[reference["reference"]]
        (name,) = found["name"]
        numbers = [one["value"] for one in found.get("identifier", ())]
        return Author(
            given="".join(name.get("given", ())),
            family=name["family"],
            registration="".join(numbers),
        )

    def case(self) -> CaseRecord:
        condition = self.one("Condition")
        told = facts_of(condition, "case")
        return CaseRecord(
            patient=_person(self.one("Patient")),
            onset=_day(condition["onsetDateTime"]),
            opened=_day(condition["recordedDate"]),
            lead=self.author(condition["recorder"]),
            activities=tuple(_activity(one) for _url, one in self.all("Goal")),
            visits=tuple(self._visit(url, one) for url, one in self.all("Encounter")),
            diary=read_diary([one for _url, one in self.all("Observation") if "basedOn" in one]),
            programs=tuple(self._program(one) for _url, one in self.all("CarePlan")),
            bookings=tuple(self._booking(one) for _url, one in self.all("Appointment")),
            **(told | {"side": Side(told["side"])}),
        )

    def _visit(self, url: str, encounter: Json) -> VisitRecord:
        seen = [one for _url, one in self.all("Observation") if _about(one, url)]
        forms = [one for _url, one in self.all("QuestionnaireResponse") if _about(one, url)]
        signed = first(one for _url, one in self.all("Provenance") if _signs(one, url))
        (participant,) = encounter["participant"]
        single = {name: _single(seen, name) for name in SINGLE}
        return VisitRecord(
            on=_day(encounter["period"]["start"]),
            practitioner=self.author(participant["individual"]),
            signed_by=self.author(signed["agent"][0]["who"]),
            signed_at=_moment(signed["recorded"]),
            minutes=encounter["length"]["value"] if "length" in encounter else None,
            pains=tuple(_pains(seen)),
            grips=tuple(
                _grip(one)
                for code, one in coded(seen)
                if code.startswith("grip_") and code not in SCORED
            ),
            forms=tuple(map(_form, forms)),
            activities=tuple(self._rating(one) for one in of(seen, "activity")),
            values=tuple((code, float(value(one))) for code, one in coded(seen) if code in SCORED),
            battery=read_round(seen),
            added=tuple(self._added(one) for one in of(seen, "addendum")),
            **{one: text["valueString"] for one in NOTES for text in of(seen, one)},
            **single,
            **{
                name: one
                for name, one in facts_of(encounter, "visit").items()
                if name in VISIT_FACTS
            },
        )

    def _rating(self, observation: Json) -> tuple[int, int]:
        goal = self.by_url[observation["focus"][0]["reference"]]
        return _activity(goal).position, value(observation)

    def _added(self, observation: Json) -> Added:
        return Added(
            text=observation["valueString"],
            author=self.author(observation["performer"][0]),
            **({"reason": ""} | facts_of(observation, "addendum")),
        )

    def _program(self, plan: Json) -> ProgramRecord:
        return ProgramRecord(
            issued_at=_moment(plan["created"]),
            issued_by=self.author(plan["author"]),
            remark="".join(note["text"] for note in plan.get("note", ())),
            exercises=tuple(_exercise(one["detail"]) for one in plan.get("activity", ())),
            **facts_of(plan, "program", lists=("weekdays",)),
        )

    def _booking(self, appointment: Json) -> Booking:
        practitioner = appointment["participant"][1]["actor"]
        return Booking(
            starts_at=_moment(appointment["start"]),
            ends_at=_moment(appointment["end"]),
            practitioner=self.author(practitioner),
            status=STATUSES[appointment["status"]],
            cancel_reason=appointment.get("cancelationReason", {}).get("text", ""),
            **facts_of(appointment, "booking"),
        )


def _day(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def _moment(text: str) -> datetime.datetime:
    return datetime.datetime.fromisoformat(text)


def _about(resource: Json, url: str) -> bool:
    return resource.get("encounter", {}).get("reference") == url


def _signs(provenance: Json, url: str) -> bool:
    return provenance["target"][0]["reference"] == url


def _pains(observations: list[Json]) -> Iterator[tuple[str, int]]:
    for code, one in coded(observations):
        if code.startswith(PAIN):
            yield code.removeprefix(PAIN), value(one)


def _single(observations: list[Json], code: str) -> int | None:
    return next((value(one) for one in of(observations, code)), None)


def _person(patient: Json) -> Person:
    (name,) = patient["name"]
    reached = {one["system"]: one["value"] for one in patient.get("telecom", ())}
    return Person(
        given=name["given"][0],
        family=name["family"],
        born=_day(patient["birthDate"]),
        sex=SEXES[patient["gender"]],
        phone=reached.get("phone", ""),
        email=reached.get("email", ""),
        language=patient["communication"][0]["language"]["coding"][0]["code"],
        **facts_of(patient, "patient"),
    )


def _activity(goal: Json) -> Activity:
    return Activity(name=goal["description"]["text"], **facts_of(goal, "activity"))


def _grip(observation: Json) -> Grip:
    trials = tuple(_trial(one) for one in observation.get("component", ()))
    return Grip(trials=trials, **facts_of(observation, "grip"))


def _trial(component: Json) -> Trial:
    struck = [one["coding"][0]["code"] for one in component.get("interpretation", ())]
    return Trial(
        number=int(component["code"]["coding"][0]["code"].rpartition("_")[2]),
        force_n=float(value(component)),
        struck="".join(struck),
    )


def _form(response: Json) -> Form:
    answers = {int(one["linkId"]): one["answer"][0]["valueInteger"] for one in response["item"]}
    return Form(
        instrument=response["questionnaire"].rpartition("/")[2],
        items=tuple(answers.get(number) for number in range(1, len(ITEMS) + 1)),
    )


def _exercise(detail: Json) -> Exercise:
    (card,) = detail["code"]["coding"]
    return Exercise(
        card=card["code"],
        name=card["display"],
        dose=detail["description"],
        **facts_of(detail, "dose"),
    )
