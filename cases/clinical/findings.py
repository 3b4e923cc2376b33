"""What one test of the battery gave on one side, and the order in which findings are taken."""

from collections.abc import Iterable
from dataclasses import dataclass

from cases.clinical.battery_optional import BY_CODE, OPTIONAL
from cases.clinical.battery_tests import BATTERY
from cases.clinical.labels import Labelled
from cases.clinical.maneuver import ProvocationTest, Variant
from cases.clinical.sides import Side
from clinic.wording import gettext_noop

LOW, HIGH = 0, 10


class FindingAnswer(Labelled):
    NONE = "none", gettext_noop("no pain")
    FAMILIAR = "familiar", gettext_noop("familiar pain")
    OTHER = "other", gettext_noop("other pain")
    NOT_DONE = "not done", gettext_noop("not done")


class Strength(Labelled):
    """Of a resisted test, beside its pain: weakness without pain points elsewhere."""

    NORMAL = "normal", gettext_noop("normal")
    WEAK = "weak", gettext_noop("weak")
    ABSENT = "absent", gettext_noop("absent")


class Performer(Labelled):
    """Who pressed. Without an examiner, tests and points that need one are left out."""

    CLINICIAN = "clinician", gettext_noop("clinician")
    PARTNER = "partner", gettext_noop("partner")
    SELF = "self", gettext_noop("patient alone")

    @property
    def examines(self) -> bool:
        """Whether what needs an examiner can be done."""
        return self is Performer.CLINICIAN


class Place(Labelled):
    """Where other pain was felt."""

    BELOW_EPICONDYLE = "below-epicondyle", gettext_noop("3–5 cm below the epicondyle")
    FOREARM = "forearm", gettext_noop("forearm")
    HAND = "hand", gettext_noop("hand or fingers")
    NECK_SHOULDER = "neck-shoulder", gettext_noop("neck or shoulder")
    FRONT = "front", gettext_noop("front of the elbow")
    INSIDE = "inside", gettext_noop("inside of the elbow")
    ELSEWHERE = "elsewhere", gettext_noop("elsewhere")


@dataclass(frozen=True, kw_only=True)
class GivenFinding:
    """The answer of one test on one side, and finger; `pain` is the peak during the test, 0–10.

    `variant` is the published way in which it was really done; empty for the usual one. Raises
    ValueError for a test, finger or variant that does not exist, strength of a test that is not
    resisted, familiar pain without its rating, other pain without its place, and a test not done
    without its reason.
    """

    test: str
    side: Side
    answer: FindingAnswer
    finger: int | None = None
    pain: int | None = None
    where: Place | None = None
    why_not_done: str = ""
    strength: Strength | None = None
    tingling: bool = False
    variant: str = ""

    def __post_init__(self) -> None:
        if self.test not in BY_CODE:
            raise ValueError(f"there is no test {self.test!r}")
        if self.finger not in (self.provocation.fingers or (None,)):
            raise ValueError(f"{self.test} has no finger {self.finger}")
        if self.pain is not None and not LOW <= self.pain <= HIGH:
            raise ValueError(f"pain {self.pain} is not from {LOW} to {HIGH}")
        if problem := self._missing():
            raise ValueError(f"{self.test}: {problem}")

    def _missing(self) -> str:
        if self.answer is FindingAnswer.FAMILIAR and self.pain is None:
            return "familiar pain needs its rating"
        if self.answer is FindingAnswer.OTHER and self.where is None:
            return "other pain needs its place"
        if self.answer is FindingAnswer.NOT_DONE and not self.why_not_done.strip():
            return "say why it was not done"
        if self.strength is not None and not self.provocation.has_strength:
            return "strength is of resisted tests"
        if self.variant and self.way is None:
            return f"there is no variant {self.variant!r}"
        return ""

    @property
    def provocation(self) -> ProvocationTest:
        """The maneuver that was done."""
        return BY_CODE[self.test]

    @property
    def way(self) -> Variant | None:
        """The published variant that was done, or nothing for the usual way."""
        return next((v for v in self.provocation.variants if v.code == self.variant), None)

    @property
    def is_weak(self) -> bool:
        """Whether strength was less than normal, with pain or without."""
        return self.strength in (Strength.WEAK, Strength.ABSENT)

    @property
    def was_done(self) -> bool:
        """Whether the test was carried out at all."""
        return self.answer is not FindingAnswer.NOT_DONE

    @property
    def is_familiar(self) -> bool:
        """Whether it gave the pain the patient came with: the only positive."""
        return self.answer is FindingAnswer.FAMILIAR

    @property
    def spot(self) -> tuple[str, Side, int | None]:
        """Test, side and finger: what is compared between two rounds."""
        return self.test, self.side, self.finger


def familiar_on(side: Side, given: Iterable[tuple[Side, FindingAnswer]]) -> bool | None:
    """Return whether a test of this side gave the familiar pain; None when none was done on it."""
    done = [
        answer for where, answer in given if where is side and answer is not FindingAnswer.NOT_DONE
    ]
    return FindingAnswer.FAMILIAR in done if done else None


@dataclass(frozen=True, kw_only=True)
class ExpectedFinding:
    """One field of the form, in the order in which the arm is tested."""

    test: ProvocationTest
    side: Side
    finger: int | None

    @property
    def spot(self) -> tuple[str, Side, int | None]:
        """Test, side and finger, as in a finding."""
        return self.test.code, self.side, self.finger


def expected_findings(
    affected: Side, *, performer: Performer = Performer.CLINICIAN
) -> tuple[ExpectedFinding, ...]:
    """Return every finding of a full round: test by test, the unaffected side first."""
    return _in_order(affected, (t for t in BATTERY if performer.examines or not t.needs_examiner))


def optional_findings(affected: Side) -> tuple[ExpectedFinding, ...]:
    """Return the findings beside a full round, in the same order of sides."""
    return _in_order(affected, OPTIONAL)


def _in_order(affected: Side, tests: Iterable[ProvocationTest]) -> tuple[ExpectedFinding, ...]:
    return tuple(
        ExpectedFinding(test=test, side=side, finger=finger)
        for test in tests
        for side in (affected.other, affected)
        for finger in test.fingers or (None,)
    )
