"""What a visit measured and what was noted, as Observations, each with its method."""

from statistics import fmean

from assessments.clinical.force import Unit, from_newtons
from cases.clinical.sides import Side
from rehab.clinical.codes import BASE, HAND_GRIP, OWN, PAIN_0_TO_10, UNITS

from .draft import Draft, concept, hl7, own, quantity, score
from .facts import Json, facts
from .record import Grip, Trial, VisitRecord

NOTES = ("subjective", "objective", "assessment", "treatment", "plan")
GRIP_FACTS = ("side", "position", "effort", "unit")
# What was scored from other values of the visit, with the unit it is told in.
SCORED = {
    "grip_ratio": ("ratio", "1"),
    "prtee": ("points", "{score}"),
    "prtee_pain": ("points", "{score}"),
    "prtee_function": ("points", "{score}"),
    "activities": ("points", "{score}"),
}
HOW = {
    "pain": "Whole number from 0, none, to 10, the worst imaginable; said by the patient",
    "grip": "Hand dynamometer, mean of the trials that count",
    "grip_ratio": "Mean of the affected side divided by the mean of the other side",
    "prtee": "Answered by the patient on paper; scored from the numbers",
    "activity": "Rated by the patient from 0, unable, to 10, as before",
    "activities": "Mean of the activities rated that day",
    "global_rating": "Said by the patient, compared with the start of care",
    "time_off_work": "Whole days, said by the patient",
}
# How what is one number a visit is told.
TOLD = {"global_rating": score, "time_off_work": lambda days: quantity(days, "days", "d")}
SURVEY, EXAM = ("survey", "Survey"), ("exam", "Exam")


class VisitWriter:
    """Writes all that one visit holds; `written` are the keys, in their order."""

    def __init__(self, draft: Draft, key: str, visit: VisitRecord) -> None:
        self.draft, self.key, self.visit = draft, key, visit
        self.written: list[str] = []

    def write(self) -> None:
        self._notes()
        self._pains()
        for grip in self.visit.grips:
            self._grip(grip)
        self._forms()
        self._ratings()
        self._scored()
        self._added()

    def observe(self, code: str, *, key: str = "", kind=None, code_=None, **elements) -> str:
        """Write what this visit found, under one of our codes; return its key."""
        self.written.append(f"{self.key}/{key or code}")
        about = {
            "status": "final",
            "category": [hl7("observation-category", *kind)] if kind else None,
            "code": code_ or own(code),
            "subject": self.draft.ref("patient"),
            "encounter": self.draft.ref(self.key),
            "effectiveDateTime": self.visit.on.isoformat(),
            "performer": [self.draft.by(self.visit.practitioner)],
        }
        return self.draft.add(self.written[-1], "Observation", **about | elements)

    def _notes(self) -> None:
        for name in NOTES:
            if text := getattr(self.visit, name):
                self.observe(name, valueString=text)

    def _pains(self) -> None:
        for context, value in self.visit.pains:
            code = f"pain_{context}"
            both = own(code, PAIN_0_TO_10)
            self.observe(
                code, kind=SURVEY, code_=both, method=_how("pain"), valueQuantity=score(value)
            )

    def _grip(self, grip: Grip) -> None:
        self.observe(
            f"grip_{grip.effort}",
            key=grip_key(grip),
            kind=EXAM,
            code_=_grip_code(grip),
            extension=facts("grip", grip, GRIP_FACTS),
            method=concept(OWN[grip.position], text=_grip_how(grip)),
            bodySite={"text": f"{grip.side} hand"},
            component=[_trial(trial) for trial in grip.trials],
            **_grip_value(grip),
        )

    def _forms(self) -> None:
        for form in self.visit.forms:
            self.written.append(f"{self.key}/form/{form.instrument}")
            self.draft.add(
                self.written[-1],
                "QuestionnaireResponse",
                questionnaire=f"{BASE}/Questionnaire/{form.instrument}",
                status="completed",
                subject=self.draft.ref("patient"),
                encounter=self.draft.ref(self.key),
                authored=self.visit.on.isoformat(),
                source=self.draft.ref("patient"),
                item=[
                    {"linkId": str(number), "answer": [{"valueInteger": value}]}
                    for number, value in enumerate(form.items, start=1)
                    if value is not None
                ],
            )

    def _ratings(self) -> None:
        for place, value in self.visit.activities:
            self.observe(
                "activity",
                key=f"activity/{place}",
                kind=SURVEY,
                focus=[self.draft.ref(f"goal/{place}")],
                method=_how("activity"),
                valueQuantity=score(value),
            )
        for name, told in TOLD.items():
            if (value := getattr(self.visit, name)) is not None:
                self.observe(name, kind=SURVEY, method=_how(name), valueQuantity=told(value))

    def _scored(self) -> None:
        for name, value in self.visit.values:
            self.observe(
                name,
                kind=SURVEY if name != "grip_ratio" else EXAM,
                method=_how(name if name in HOW else "prtee"),
                valueQuantity=quantity(value, *SCORED[name]),
                derivedFrom=[self.draft.ref(key) for key in self._from(name)],
            )

    def _from(self, name: str) -> list[str]:
        """The keys of what a value was scored from."""
        if name == "grip_ratio":
            return [f"{self.key}/{grip_key(one)}" for one in self.visit.grips if _in_ratio(one)]
        if name == "activities":
            return [f"{self.key}/activity/{place}" for place, _value in self.visit.activities]
        return [f"{self.key}/form/{form.instrument}" for form in self.visit.forms]

    def _added(self) -> None:
        for number, added in enumerate(self.visit.added, start=1):
            self.observe(
                "addendum",
                key=f"addendum/{number}",
                extension=facts("addendum", added, ("at", "reason")),
                performer=[self.draft.by(added.author)],
                valueString=added.text,
            )


def grip_key(grip: Grip) -> str:
    return f"grip/{grip.side}/{grip.position}/{grip.effort}"


def _how(name: str) -> Json:
    return {"text": HOW[name]}


def _in_ratio(grip: Grip) -> bool:
    return (grip.position, grip.effort) == ("straight", "pain_free")


def _grip_code(grip: Grip) -> Json:
    """LOINC's code is that of maximal grip alone: a near code is not borrowed."""
    others = [HAND_GRIP[Side(grip.side)]] if grip.effort == "maximal" else []
    return own(f"grip_{grip.effort}", *others)


def _grip_how(grip: Grip) -> str:
    effort = "to the first pain" if grip.effort == "pain_free" else "as hard as possible"
    return f"{HOW['grip']}; {OWN[grip.position].display.lower()}; {effort}"


def _grip_value(grip: Grip) -> Json:
    """The mean in the unit that was read; each trial has its newtons."""
    if not grip.counting_n:
        return {"dataAbsentReason": hl7("data-absent-reason", "error", "Error")}
    unit = Unit(grip.unit)
    value = round(from_newtons(fmean(grip.counting_n), unit), 2)
    return {"valueQuantity": quantity(value, unit.value, UNITS[unit.value])}


def _trial(trial: Trial) -> Json:
    struck = {"interpretation": [own(trial.struck)]} if trial.struck else {}
    return {
        "code": own(f"grip_trial_{trial.number}"),
        "valueQuantity": quantity(trial.force_n, "N", "N"),
        **struck,
    }
