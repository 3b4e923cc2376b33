"""Reading one round of the battery in words, beside the round before it.

Nothing here states a diagnosis or a probability of one: the published accuracy does not carry it
(Zwerus et al. 2018 Br J Sports Med 52(19):1253–60, doi 10.1136/bjsports-2016-096712; Karanasios et
al. 2021 J Hand Ther 35(4):541–51).
"""

from collections.abc import Iterable
from dataclasses import dataclass

from cases.clinical.battery_change import (
    SpotChange,
    compare_spots,
    course_of,
    in_words,
    otherwise_done,
)
from cases.clinical.battery_change import Trend as Trend
from cases.clinical.battery_optional import BY_CODE as BY_CODE
from cases.clinical.battery_optional import MANEUVERS
from cases.clinical.battery_raised import (
    AGREEMENT,
    Findings,
    Round,
    apply_rules,
    questions,
    raised,
    to_check_next,
)
from cases.clinical.battery_raised import STOP_PAIN as STOP_PAIN
from cases.clinical.battery_tests import MIDDLE_FINGER, MIDDLE_FINGER_LOADS
from cases.clinical.findings import HIGH, LOW, GivenFinding, Performer, expected_findings
from cases.clinical.palpation import Points
from cases.clinical.palpation import in_words as points_in_words
from cases.clinical.sides import Side
from clinic.wording import Sentence, gettext_noop, say


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What one round says. `familiar` and `familiar_other_side` are codes in battery order."""

    done: int
    familiar: tuple[str, ...]
    familiar_other_side: tuple[str, ...]
    performed: Sentence | None
    resting: Sentence | None
    summary: tuple[Sentence, ...]
    agreement: tuple[Sentence, ...]
    raised: tuple[Sentence, ...]
    questions: tuple[Sentence, ...]
    next: tuple[Sentence, ...]
    changes: tuple[SpotChange, ...]
    compared: tuple[Sentence, ...]
    course: Sentence | None
    missing: int
    practice: Sentence | None
    caveat: Sentence

    @property
    def sentences(self) -> tuple[Sentence, ...]:
        """Everything in the order in which it is read; the caveat always closes it."""
        before = tuple(said for said in (self.performed, self.resting) if said is not None)
        practice = () if self.practice is None else (self.practice,)
        found = (*self.summary, *self.agreement, *self.compared)
        body = (*found, *self.raised, *self.questions, *self.next)
        return (*before, *body, *practice, self.caveat)


PRACTICE = say(
    gettext_noop(
        "Common practice takes one test with the familiar pain to make tennis elbow likely (no "
        "source). The published accuracy adds little to that: of 24 elbow tests none was adequate "
        "to rule a condition in or out (Zwerus 2018), and a review found two studies of physical "
        "tests, most at risk of bias (Karanasios 2021)."
    )
)
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
    points: Points = (),
    performer: Performer = Performer.CLINICIAN,
    fingers_do_not_lift: bool = False,
    previous: Findings | None = None,
) -> Reading:
    """Return in words what `findings` and pressed `points` show, beside the `previous` round.

    `resting_pain` is the pain before the first test, 0–10; `fingers_do_not_lift` is what the last
    screening says. Raises ValueError when the pain is not a rating, and when one test of one side
    (and finger), or one point, has two findings.
    """
    _check(findings, previous or (), resting_pain)
    read = Round(
        findings=findings,
        affected=affected,
        points=points,
        performer=performer,
        fingers_do_not_lift=fingers_do_not_lift,
    )
    familiar = _familiar_codes(findings, affected)
    changes = () if previous is None else compare_spots(findings, previous, affected)
    return Reading(
        done=_done(read),
        familiar=familiar,
        familiar_other_side=_familiar_codes(findings, affected.other),
        performed=_PERFORMED[performer],
        resting=_resting(resting_pain),
        summary=_summary(read),
        agreement=(*points_in_words(points, affected), *apply_rules(AGREEMENT, read)),
        raised=raised(read),
        questions=questions(read),
        next=to_check_next(read),
        changes=changes,
        compared=_compared(findings, previous, affected, changes),
        course=course_of(changes),
        missing=_missing(read),
        practice=PRACTICE if familiar else None,
        caveat=CAVEAT,
    )


def _check(findings: Findings, previous: Findings, resting_pain: int) -> None:
    if not LOW <= resting_pain <= HIGH:
        raise ValueError(f"resting pain {resting_pain} is not from {LOW} to {HIGH}")
    for round_ in (findings, previous):
        if len({finding.spot for finding in round_}) != len(round_):
            raise ValueError("one test of one side has two findings")


def _compared(
    findings: Findings,
    previous: Findings | None,
    affected: Side,
    changes: tuple[SpotChange, ...],
) -> tuple[Sentence, ...]:
    if previous is None:
        return ()
    return (*in_words(changes), *otherwise_done(findings, previous, affected))


def _codes(findings: Iterable[GivenFinding]) -> tuple[str, ...]:
    found = {finding.test for finding in findings}
    return tuple(test.code for test in MANEUVERS if test.code in found)


def _familiar_codes(findings: Findings, side: Side) -> tuple[str, ...]:
    return _codes(f for f in findings if f.side is side and f.is_familiar)


def _done(read: Round) -> int:
    return len(_codes(f for f in read.here if f.was_done))


def _missing(read: Round) -> int:
    spots = {finding.spot for finding in read.findings}
    wanted = expected_findings(read.affected, performer=read.performer)
    return sum(expected.spot not in spots for expected in wanted)


_PERFORMED = {
    Performer.CLINICIAN: None,
    Performer.PARTNER: say(gettext_noop("Done with a partner, without a clinician.")),
    Performer.SELF: say(gettext_noop("Done by the patient alone, without a clinician.")),
}


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


def _summary(read: Round) -> tuple[Sentence, ...]:
    familiar = [finding for finding in read.here if finding.is_familiar]
    text = gettext_noop("Familiar pain in %(count)s of %(done)s tests on the affected side.")
    lines = [say(text, count=len(_codes(familiar)), done=_done(read))]
    lines += [_strength(finding) for finding in familiar]
    other_side = _familiar_codes(read.findings, read.affected.other)
    if other_side:
        text = gettext_noop("Tests with familiar pain on the other side: %(count)s.")
        lines.append(say(text, count=len(other_side)))
    if _missing(read):
        text = gettext_noop("Findings of a full round that are not recorded: %(count)s.")
        lines.append(say(text, count=_missing(read)))
    return tuple(lines)


_FINGERS = {
    2: gettext_noop("%(test)s, index finger: %(pain)s of 10. It acts on %(structure)s."),
    3: gettext_noop("%(test)s, middle finger: %(pain)s of 10. It acts on %(structure)s."),
    4: gettext_noop("%(test)s, ring finger: %(pain)s of 10. It acts on %(structure)s."),
    5: gettext_noop("%(test)s, little finger: %(pain)s of 10. It acts on %(structure)s."),
    None: gettext_noop("%(test)s: %(pain)s of 10. It acts on %(structure)s."),
}


def _strength(finding: GivenFinding) -> Sentence:
    test = finding.provocation
    loads = MIDDLE_FINGER_LOADS if finding.finger == MIDDLE_FINGER else test.loads
    return say(_FINGERS[finding.finger], test=test.name, pain=finding.pain, structure=loads)
