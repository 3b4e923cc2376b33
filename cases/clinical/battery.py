"""Reading one round of the battery in words, beside the round before it.

Nothing here states a diagnosis or a probability of one: the published accuracy does not carry it
(Zwerus et al. 2018 Br J Sports Med 52(19):1253–60, doi 10.1136/bjsports-2016-096712; Karanasios et
al. 2021 J Hand Ther 35(4):541–51).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from cases.clinical.battery_change import SpotChange, compare_spots, in_words
from cases.clinical.battery_change import Trend as Trend
from cases.clinical.battery_tests import BATTERY
from cases.clinical.battery_tests import BY_CODE as BY_CODE
from cases.clinical.battery_tests import ProvocationTest as ProvocationTest
from cases.clinical.findings import (
    HIGH,
    LOW,
    FindingAnswer,
    GivenFinding,
    Place,
    expected_findings,
)
from cases.clinical.findings import ExpectedFinding as ExpectedFinding
from cases.clinical.sides import Side
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

MIDDLE_FINGER = 3

STOP_PAIN = Figure(
    value=8,
    unit=gettext_noop("points"),
    source="usual practice",
    status=Status.FROM_MEMORY,
    limits="no published numeric stop rule was found",
)

Findings = tuple[GivenFinding, ...]


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What one round says. `familiar` and `familiar_other_side` are codes in battery order."""

    done: int
    familiar: tuple[str, ...]
    familiar_other_side: tuple[str, ...]
    resting: Sentence | None
    summary: tuple[Sentence, ...]
    raised: tuple[Sentence, ...]
    questions: tuple[Sentence, ...]
    changes: tuple[SpotChange, ...]
    compared: tuple[Sentence, ...]
    missing: int
    caveat: Sentence

    @property
    def sentences(self) -> tuple[Sentence, ...]:
        """Everything in the order in which it is read; the caveat always closes it."""
        resting = () if self.resting is None else (self.resting,)
        body = (*self.summary, *self.compared, *self.raised, *self.questions)
        return (*resting, *body, self.caveat)


CAVEAT = say(
    gettext_noop(
        "Published accuracy of these tests can't rule tennis elbow in or out "
        "(Zwerus 2018; Karanasios 2021)."
    )
)


def read_battery(
    findings: Findings,
    *,
    affected: Side,
    resting_pain: int,
    previous: Findings | None = None,
) -> Reading:
    """Return in words what `findings` show on the `affected` side, beside the `previous` round.

    `resting_pain` is the pain before the first test, 0–10. Raises ValueError when it is not, and
    when one test of one side (and finger) has two findings.
    """
    if not LOW <= resting_pain <= HIGH:
        raise ValueError(f"resting pain {resting_pain} is not from {LOW} to {HIGH}")
    for round_ in (findings, previous or ()):
        if len({finding.spot for finding in round_}) != len(round_):
            raise ValueError("one test of one side has two findings")
    familiar = _familiar_codes(findings, affected)
    other_side = _familiar_codes(findings, affected.other)
    done = len(_codes(f for f in findings if f.side is affected and f.was_done))
    changes = () if previous is None else compare_spots(findings, previous, affected)
    return Reading(
        done=done,
        familiar=familiar,
        familiar_other_side=other_side,
        resting=_resting(resting_pain),
        summary=_summary(findings, affected, familiar, other_side, done),
        raised=_raised(findings, affected),
        questions=_questions(findings, familiar, other_side),
        changes=changes,
        compared=() if previous is None else in_words(changes),
        missing=_missing(findings, affected),
        caveat=CAVEAT,
    )


def _codes(findings: Iterable[GivenFinding]) -> tuple[str, ...]:
    found = {finding.test for finding in findings}
    return tuple(test.code for test in BATTERY if test.code in found)


def _familiar_codes(findings: Findings, side: Side) -> tuple[str, ...]:
    return _codes(f for f in findings if f.side is side and f.is_familiar)


def _missing(findings: Findings, affected: Side) -> int:
    spots = {finding.spot for finding in findings}
    wanted = ((e.test.code, e.side, e.finger) for e in expected_findings(affected))
    return sum(spot not in spots for spot in wanted)


def _resting(pain: int) -> Sentence | None:
    if pain == 0:
        return None
    return say(
        gettext_noop(
            "The arm hurt %(pain)s of 10 at rest before the first test, so a test that hurts may "
            "only show the pain that was there. Go on with that in mind, or postpone."
        ),
        pain=pain,
    )


def _summary(
    findings: Findings,
    affected: Side,
    familiar: tuple[str, ...],
    other_side: tuple[str, ...],
    done: int,
) -> tuple[Sentence, ...]:
    text = gettext_noop("Familiar pain in %(count)s of %(done)s maneuvers on the affected side.")
    lines = [say(text, count=len(familiar), done=done)]
    lines += [
        _strength(finding)
        for finding in findings
        if finding.side is affected and finding.is_familiar
    ]
    if other_side:
        text = gettext_noop("Maneuvers with familiar pain on the other side: %(count)s.")
        lines.append(say(text, count=len(other_side)))
    if _missing(findings, affected):
        text = gettext_noop("Findings of a full round that are not recorded: %(count)s.")
        lines.append(say(text, count=_missing(findings, affected)))
    return tuple(lines)


_FINGERS = {
    2: gettext_noop("%(test)s, index finger: %(pain)s of 10."),
    3: gettext_noop("%(test)s, middle finger: %(pain)s of 10."),
    4: gettext_noop("%(test)s, ring finger: %(pain)s of 10."),
    5: gettext_noop("%(test)s, little finger: %(pain)s of 10."),
    None: gettext_noop("%(test)s: %(pain)s of 10."),
}


def _strength(finding: GivenFinding) -> Sentence:
    return say(_FINGERS[finding.finger], test=finding.provocation.name, pain=finding.pain)


# Whether one finding calls for the sentence, and the sentence.
Raise = tuple[Callable[[GivenFinding], bool], str]


def _below_with_nerve_tests(finding: GivenFinding) -> bool:
    nerve = finding.test == "supination" or finding.finger == MIDDLE_FINGER
    return finding.where is Place.BELOW_EPICONDYLE and nerve


def _felt_in(*places: Place) -> Callable[[GivenFinding], bool]:
    return lambda finding: finding.where in places


RAISES: tuple[Raise, ...] = (
    (
        _below_with_nerve_tests,
        gettext_noop(
            "Pain 3–5 cm below the epicondyle on supination or the middle finger: the place that "
            "is described for the radial nerve in the forearm. Go over that screening question."
        ),
    ),
    (
        lambda f: f.where is Place.BELOW_EPICONDYLE and not _below_with_nerve_tests(f),
        gettext_noop(
            "Pain 3–5 cm below the epicondyle: not counted. Press there on both sides and compare."
        ),
    ),
    (
        _felt_in(Place.FOREARM, Place.HAND),
        gettext_noop(
            "Pain in the forearm, hand or fingers: not counted. Ask about tingling and check the "
            "nerves of the arm."
        ),
    ),
    (
        _felt_in(Place.NECK_SHOULDER),
        gettext_noop("Pain in the neck or shoulder: not counted. Go over the neck questions."),
    ),
    (
        lambda f: f.where is Place.FRONT and f.test == "supination",
        gettext_noop(
            "Pain at the front of the elbow on supination: not counted. Test the distal biceps."
        ),
    ),
    (
        lambda f: f.where is Place.FRONT and f.test != "supination",
        gettext_noop("Pain at the front of the elbow: not counted. Examine it separately."),
    ),
    (
        _felt_in(Place.INSIDE),
        gettext_noop("Pain on the inside of the elbow: not counted. Examine that side separately."),
    ),
    (
        _felt_in(Place.ELSEWHERE),
        gettext_noop("Pain elsewhere: not counted. Write down where and examine it."),
    ),
)


def _raised(findings: Findings, affected: Side) -> tuple[Sentence, ...]:
    here = [f for f in findings if f.side is affected and f.answer is FindingAnswer.OTHER]
    raised = [say(text) for applies, text in RAISES if any(applies(f) for f in here)]
    if any((finding.pain or 0) >= STOP_PAIN.value for finding in findings):
        text = gettext_noop(
            "A test hurt %(limit)s of 10 or more: usual practice is to stop the round there "
            "(from memory, not checked)."
        )
        raised.append(say(text, limit=int(STOP_PAIN.value)))
    return tuple(raised)


def _questions(
    findings: Findings, familiar: tuple[str, ...], other_side: tuple[str, ...]
) -> tuple[Sentence, ...]:
    asked = [say(text) for applies, text in CONTRADICTIONS if any(applies(f) for f in findings)]
    if other_side and not familiar:
        text = gettext_noop("Familiar pain only on the unaffected side: were the sides mixed up?")
        asked.insert(0, say(text))
    return tuple(asked)


CONTRADICTIONS: tuple[Raise, ...] = (
    (
        lambda f: f.is_familiar and f.where is not None,
        gettext_noop(
            "Familiar pain with another place named: is it at the epicondyle, or other pain?"
        ),
    ),
    (
        lambda f: f.is_familiar and f.pain == 0,
        gettext_noop("Familiar pain of strength 0: is it no pain?"),
    ),
    (
        lambda f: f.answer is FindingAnswer.NONE and bool(f.pain),
        gettext_noop("No pain, but a strength was written down: which is right?"),
    ),
)
