"""What a round raises beside the familiar pain, what contradicts itself, and what to check next.

All rules are rows: whether it applies, and the sentence. They are usual practice, from memory. Published
for the radial nerve are tenderness 3–4 cm below the epicondyle (North and East Devon formulary) and pain
4–5 cm below it on resisted supination (alpfmedical.info); 3–5 cm and the middle finger are from memory.
"""

from collections.abc import Callable
from dataclasses import dataclass

from cases.clinical.battery_tests import MIDDLE_FINGER
from cases.clinical.findings import HIGH, FindingAnswer, GivenFinding, Performer, Place
from cases.clinical.palpation import Points, most_tender, tender
from cases.clinical.sides import Side
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

STOP_PAIN = Figure(
    value=8,
    unit=gettext_noop("points"),
    source="usual practice",
    status=Status.FROM_MEMORY,
    limits="no published numeric stop rule was found",
)

Findings = tuple[GivenFinding, ...]


@dataclass(frozen=True, kw_only=True)
class Round:
    """One round as it is read."""

    findings: Findings
    affected: Side
    points: Points = ()
    performer: Performer = Performer.CLINICIAN
    fingers_do_not_lift: bool = False

    @property
    def here(self) -> Findings:
        """The findings of the affected side."""
        return tuple(f for f in self.findings if f.side is self.affected)

    @property
    def provoked(self) -> Findings:
        """The tests that gave the familiar pain by loading, not by pressing."""
        return tuple(f for f in self.here if f.is_familiar and f.test != "palpation")

    @property
    def pressed_familiar(self) -> bool:
        """Whether pressing on the origin gave the familiar pain."""
        return any(f.test == "palpation" and f.is_familiar for f in self.here)

    @property
    def origin_tender(self) -> bool:
        """Whether the origin is tender, by the test or by one of its points."""
        origin = any(p.is_origin for p in most_tender(self.points, self.affected))
        return self.pressed_familiar or origin

    @property
    def origin_pressed(self) -> bool:
        """Whether the origin was pressed at all."""
        done = any(f.test == "palpation" and f.was_done for f in self.here)
        return done or any(p.side is self.affected for p in self.points)


def must_stop(finding: GivenFinding) -> bool:
    """Whether usual practice stops the round at this finding: 8 of 10 or more, or new tingling."""
    return finding.tingling or (finding.pain or 0) >= STOP_PAIN.value


# Whether one finding calls for the sentence, and the sentence.
Raise = tuple[Callable[[GivenFinding], bool], str]
# Whether the whole round does.
Rule = tuple[Callable[[Round], bool], str]


def _nerve_test(finding: GivenFinding) -> bool:
    return finding.test == "supination" or finding.finger == MIDDLE_FINGER


def _below_with_nerve_tests(finding: GivenFinding) -> bool:
    return finding.where is Place.BELOW_EPICONDYLE and _nerve_test(finding)


def _felt_in(*places: Place) -> Callable[[GivenFinding], bool]:
    return lambda finding: finding.where in places


def _weak_without_pain(finding: GivenFinding) -> bool:
    return finding.is_weak and finding.answer is FindingAnswer.NONE


# fmt: off
RAISES: tuple[Raise, ...] = (
    (_below_with_nerve_tests, gettext_noop(
        "Pain 3–5 cm below the epicondyle on supination or the middle finger: the place that "
        "is described for the radial nerve in the forearm. Go over that screening question.")),
    (lambda f: f.where is Place.BELOW_EPICONDYLE and not _below_with_nerve_tests(f), gettext_noop(
        "Pain 3–5 cm below the epicondyle: not counted. Press there on both sides and compare.")),
    (_felt_in(Place.FOREARM, Place.HAND), gettext_noop(
        "Pain in the forearm, hand or fingers: not counted. Ask about tingling and check the "
        "nerves of the arm.")),
    (_felt_in(Place.NECK_SHOULDER), gettext_noop(
        "Pain in the neck or shoulder: not counted. Go over the neck questions.")),
    (lambda f: f.where is Place.FRONT and f.test == "supination", gettext_noop(
        "Pain at the front of the elbow on supination: not counted. Test the distal biceps.")),
    (lambda f: f.where is Place.FRONT and f.test != "supination", gettext_noop(
        "Pain at the front of the elbow: not counted. Examine it separately.")),
    (_felt_in(Place.INSIDE), gettext_noop(
        "Pain on the inside of the elbow: not counted. Examine that side separately.")),
    (_felt_in(Place.ELSEWHERE), gettext_noop(
        "Pain elsewhere: not counted. Write down where and examine it.")),
)
WEAK: tuple[Raise, ...] = (
    (lambda f: f.test == "finger-extension", gettext_noop(
        "Weak without pain, fingers: not counted. Go over the screening question about a finger "
        "or thumb that will not lift; usual practice is to refer.")),
    (lambda f: f.test == "supination", gettext_noop(
        "Weak without pain, supination: not counted. Test the distal biceps, and the nerves of "
        "the arm.")),
    (lambda f: f.test == "wrist-extension", gettext_noop(
        "Weak without pain, wrist: not counted. Check the neck and the nerves of the arm.")),
)
CONTRADICTIONS: tuple[Raise, ...] = (
    (lambda f: f.is_familiar and f.where is not None, gettext_noop(
        "Familiar pain with another place named: is it at the epicondyle, or other pain?")),
    (lambda f: f.is_familiar and f.pain == 0, gettext_noop(
        "Familiar pain of strength 0: is it no pain?")),
    (lambda f: f.answer is FindingAnswer.NONE and bool(f.pain), gettext_noop(
        "No pain, but a strength was written down: which is right?")),
)


def _pressed_against(r: Round) -> bool:
    here = [p.pain for p in r.points if p.side is r.affected]
    quiet = any(f.test == "palpation" and f.answer is FindingAnswer.NONE for f in r.here)
    return (quiet and any(here)) or (r.pressed_familiar and bool(here) and not any(here))


ROUND_QUESTIONS: tuple[Rule, ...] = (
    (lambda r: any(f.is_familiar for f in r.findings) and not any(f.is_familiar for f in r.here),
     gettext_noop("Familiar pain only on the unaffected side: were the sides mixed up?")),
    (_pressed_against, gettext_noop(
        "Palpation and its points say different things on the affected side: which is right?")),
    (lambda r: r.fingers_do_not_lift and any(
        f.test == "finger-extension" and f.was_done for f in r.here), gettext_noop(
        "The screening says that a finger or thumb will not lift, yet the fingers were tested on "
        "that side: which is right?")),
    (lambda r: not r.performer.examines and any(
        f.provocation.needs_examiner and f.was_done for f in r.findings), gettext_noop(
        "A test that needs an examiner was done without one: who performed the round?")),
)


def _distal(r: Round) -> bool:
    return any(point.code == "below" for point in most_tender(r.points, r.affected))


def _distal_with_nerve_tests(r: Round) -> bool:
    return _distal(r) and any(
        _nerve_test(f) and f.answer in (FindingAnswer.FAMILIAR, FindingAnswer.OTHER)
        for f in r.here)


ROUND_RAISES: tuple[Rule, ...] = (
    (_distal_with_nerve_tests, gettext_noop(
        "Most tender 3–5 cm distal, and supination or the middle finger hurts: described for the "
        "radial nerve in the forearm. Go over that screening question.")),
    (lambda r: _distal(r) and not _distal_with_nerve_tests(r), gettext_noop(
        "Most tender 3–5 cm distal: not the extensor origin. Resist supination and the middle "
        "finger, and ask where it hurts.")),
    (lambda r: any(p.code == "radial-head" for p in most_tender(r.points, r.affected)), gettext_noop(
        "Most tender on the radial head line: go over the screening questions about locking and "
        "snapping.")),
    (lambda r: any(f.tingling for f in r.here), gettext_noop(
        "New tingling during a test: not counted. Check the nerves of the arm and the neck.")),
)
AGREEMENT: tuple[Rule, ...] = (
    (lambda r: bool(r.provoked) and r.origin_tender, gettext_noop(
        "Loading and pressing agree: the origin is tender, and loading it gives the same pain.")),
    (lambda r: bool(r.provoked) and r.origin_pressed and not r.origin_tender, gettext_noop(
        "Loading and pressing don't agree: loading gives the familiar pain, pressing on the "
        "origin does not.")),
    (lambda r: not r.provoked and r.pressed_familiar, gettext_noop(
        "Only pressing gives the familiar pain; no test that loads the origin did.")),
)


def _quiet_when_bent(r: Round) -> bool:
    return any(f.test == "wrist-extension" and f.answer is FindingAnswer.NONE and not f.variant
               for f in r.here)


NEXT: tuple[Rule, ...] = (
    (_quiet_when_bent, gettext_noop(
        "Repeat wrist extension with the elbow straight: pain only there is missed when bent.")),
    (lambda r: bool(r.provoked) and not r.origin_pressed, gettext_noop(
        "Press on the origin, on both sides.")),
    (lambda r: r.pressed_familiar and not r.points and r.performer.examines, gettext_noop(
        "Press the named points on both sides and rate each.")),
    (lambda r: bool(r.provoked) or r.pressed_familiar, gettext_noop(
        "Measure pain-free grip on both sides, after a rest.")),
    (lambda r: bool(r.here) and not r.provoked and not r.pressed_familiar, gettext_noop(
        "Nothing gave the familiar pain: look at neck, shoulder and wrist, and ask again what "
        "brings the pain on.")),
)
# fmt: on


def apply_rules(rules: tuple[Rule, ...], round_: Round) -> tuple[Sentence, ...]:
    """Return the sentences of the rules that apply to the round, in their order."""
    return tuple(say(text) for applies, text in rules if applies(round_))


def raised(round_: Round) -> tuple[Sentence, ...]:
    """Return what points elsewhere: pain elsewhere, distal tenderness, tingling, weakness, severe pain."""
    other = [f for f in round_.here if f.answer is FindingAnswer.OTHER]
    weak = [f for f in round_.here if _weak_without_pain(f)]
    found = [say(text) for applies, text in RAISES if any(applies(f) for f in other)]
    found += apply_rules(ROUND_RAISES, round_)
    found += [say(text) for applies, text in WEAK if any(applies(f) for f in weak)]
    if any((f.pain or 0) >= STOP_PAIN.value for f in round_.findings):
        text = gettext_noop(
            "A test hurt %(limit)s of %(most)s or more: usual practice is to stop the round there "
            "(from memory, not checked)."
        )
        found.append(say(text, limit=int(STOP_PAIN.value), most=HIGH))
    return tuple(found)


def questions(round_: Round) -> tuple[Sentence, ...]:
    """Return what contradicts itself, as questions."""
    single = [
        say(text) for applies, text in CONTRADICTIONS if any(applies(f) for f in round_.findings)
    ]
    return (*apply_rules(ROUND_QUESTIONS, round_), *single)


def to_check_next(round_: Round) -> tuple[Sentence, ...]:
    """Return what usual practice does next after such a round (from memory)."""
    distal = tender(round_.points, round_.affected)
    return apply_rules(NEXT, round_) if round_.findings or distal else ()
