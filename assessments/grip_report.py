"""What the grip trials of one visit say about one person: the two sides, the maximum, other people."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from assessments.clinical.dominance import DOMINANT_STRONGER, DominanceFormula
from assessments.clinical.grip import (
    AUTHORS_RULE_BETWEEN_VISITS,
    AUTHORS_RULE_WITHIN_VISIT,
    ELBOW_DIFFERENCE,
    GripResult,
    mean_n,
)
from assessments.clinical.grip_results import (
    SHARE_OF_MAXIMUM,
    ElbowLoss,
    PainFreeShare,
    elbow_losses,
    pain_free_shares,
    yardstick,
)
from assessments.clinical.protocol import MAXIMAL_BENT, Way
from assessments.clinical.reference_values import REFERENCES, Reference, Sex, Standing, standing
from assessments.forms.grip import side_name
from assessments.results import Results
from cases.clinical.sides import Handedness, Side
from cases.clinical.years import age_on
from cases.models import Battery, Finding, Visit
from clinic.evidence import Figure
from clinic.wording import Sentence, say


@dataclass(frozen=True, kw_only=True)
class Person:
    """Whose grip it is: sex and age choose the cell of a table, a sore other side forbids the ratio."""

    sex: Sex
    age: int
    other_side_sore: bool | None

    @classmethod
    def at(cls, visit: Visit, findings: Iterable[Finding] | None = None) -> "Person":
        """The patient on the day of a visit; `findings` of the newest round, where they are at hand."""
        case, patient = visit.case, visit.case.patient
        if findings is None:
            findings = Battery.objects.findings_of_latest(case)
        return cls(
            sex=Sex(patient.sex),
            age=age_on(patient.born, today=visit.on),
            other_side_sore=case.other_side_sore(findings),
        )


@dataclass(frozen=True, kw_only=True)
class Stands:
    """The maximal grip of one side beside every table."""

    name: str
    standings: tuple[Standing, ...]


@dataclass(frozen=True, kw_only=True)
class GripReport:
    """The grip results of one visit, each with what it can't say."""

    results: Results
    person: Person

    share_of_maximum = SHARE_OF_MAXIMUM
    elbow_difference = ELBOW_DIFFERENCE
    rules = (
        (AUTHORS_RULE_BETWEEN_VISITS, say("Between two visits: more than 92 N")),
        (AUTHORS_RULE_WITHIN_VISIT, say("Within one visit: more than 52 N")),
    )

    @property
    def affected(self) -> Side:
        return self.results.course.affected

    @cached_property
    def grips(self) -> tuple[tuple[Way, GripResult], ...]:
        return self.results.grips

    @property
    def is_compared(self) -> bool:
        """Whether the other side is a yardstick, as far as is known."""
        return self.person.other_side_sore is not True

    @property
    def yardstick(self) -> Sentence | None:
        return yardstick(other_side_sore=self.person.other_side_sore)

    @property
    def losses(self) -> tuple[tuple[str, ElbowLoss], ...]:
        found = elbow_losses(self.results.today.forces_n, affected=self.affected)
        return tuple((self._name(loss.side), loss) for loss in found)

    @property
    def shares(self) -> tuple[PainFreeShare, ...]:
        return pain_free_shares(self.results.today.forces_n, affected=self.affected)

    @property
    def stands(self) -> tuple[Stands, ...]:
        """Both sides' maximal grip beside the tables, which hold no other grip."""
        trials = self.results.today.forces_n
        sides = (self.affected.other, self.affected)
        return tuple(
            self._stands(side, trials[MAXIMAL_BENT, side])
            for side in sides
            if trials.get((MAXIMAL_BENT, side))
        )

    def _stands(self, side: Side, trials_n: tuple[float, ...]) -> Stands:
        about = {"sex": self.person.sex, "age": self.person.age, "side": side}
        return Stands(
            name=self._name(side),
            standings=tuple(standing(mean_n(trials_n), table, **about) for table in REFERENCES),
        )

    def _name(self, side: Side) -> str:
        return side_name(side, affected=self.affected)

    @property
    def tables(self) -> tuple[Reference, ...]:
        """The tables that the maximal grip is set beside."""
        return REFERENCES if self.stands else ()

    @property
    def handedness_figure(self) -> Figure:
        shown = (Handedness.RIGHT, Handedness.UNSTATED)
        right = self.results.course.handedness in shown
        return DOMINANT_STRONGER[Handedness.RIGHT if right else Handedness.LEFT]

    @property
    def handedness_rule(self) -> Sentence:
        """Which reading of the published difference is used, and what the other one would give."""
        if self.results.course.handedness is Handedness.UNSTATED:
            return say(
                "Handedness is not stated, so nothing is adjusted for it; right-handers are "
                "%(share)s %% stronger in the dominant hand",
                share=self.handedness_figure.value,
            )
        if self.results.course.handedness is not Handedness.RIGHT:
            return say("Not right-handed: both hands are expected to be equal")
        others = [grip.adjusted_ratio_of_dominant for _way, grip in self.grips]
        return say(
            "Right-handed: dominant hand (D) %(share)s %% stronger than the other (N), read as "
            "%(used)s. Read as %(other)s the adjusted ratio would be %(values)s",
            share=self.handedness_figure.value,
            used=DominanceFormula.OF_NON_DOMINANT.label,
            other=DominanceFormula.OF_DOMINANT.label,
            values=", ".join(f"{value:.3f}" for value in others if value is not None) or "–",
        )
