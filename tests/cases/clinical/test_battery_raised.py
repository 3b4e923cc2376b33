"""What a round points to beside the familiar pain, and what to check next."""

import pytest

from cases.clinical.battery import PRACTICE
from cases.clinical.battery_raised import must_stop
from cases.clinical.findings import Performer, Place, Strength
from cases.clinical.sides import Side
from tests.cases.clinical.rounds import familiar, no_pain, not_done, other, pressed, read, words

AGREE = "Loading and pressing agree: the origin is tender, and loading it gives the same pain."
AGAINST = (
    "Loading and pressing don't agree: loading gives the familiar pain, pressing on the origin "
    "does not."
)
ONLY_PRESSING = "Only pressing gives the familiar pain; no test that loads the origin did."


@pytest.mark.parametrize(
    ("findings", "points", "sentences"),
    [
        ((familiar(), familiar("palpation")), (), [AGREE]),
        (
            (familiar(), not_done("palpation")),
            pressed(epicondyle=5),
            ["lateral epicondyle: 5 of 10, other side not pressed.", AGREE],
        ),
        ((familiar(),), (), [AGAINST]),
        ((familiar(), not_done("palpation")), (), []),
        ((familiar("palpation"),), (), [ONLY_PRESSING]),
        ((), (), []),
    ],
)
def test_loading_is_held_against_pressing(findings, points, sentences):
    assert words(read(*findings, points=points).agreement) == sentences


DISTAL = "Most tender 3–5 cm distal"


@pytest.mark.parametrize(
    ("finding", "sentence"),
    [
        (
            familiar("supination"),
            f"{DISTAL}, and supination or the middle finger hurts: described for the radial nerve "
            "in the forearm. Go over that screening question.",
        ),
        (
            familiar("finger-extension", finger=3),
            f"{DISTAL}, and supination or the middle finger hurts: described for the radial nerve "
            "in the forearm. Go over that screening question.",
        ),
        (
            familiar(),
            f"{DISTAL}: not the extensor origin. Resist supination and the middle finger, and ask "
            "where it hurts.",
        ),
    ],
)
def test_distal_tenderness_points_to_the_nerve_when_its_tests_hurt(finding, sentence):
    points = pressed(epicondyle=2, below=6)

    assert words(read(finding, points=points).raised) == [sentence]


def test_the_radial_head_raises_the_joint():
    assert words(read(points=pressed(radial_head=4)).raised) == [
        "Most tender on the radial head line: go over the screening questions about locking and "
        "snapping."
    ]


@pytest.mark.parametrize("strength", [Strength.WEAK, Strength.ABSENT])
@pytest.mark.parametrize(
    ("test", "finger", "begin"),
    [
        ("finger-extension", 4, "Weak without pain, fingers"),
        ("supination", None, "Weak without pain, supination"),
        ("wrist-extension", None, "Weak without pain, wrist"),
    ],
)
def test_weakness_without_pain_stands_out(strength, test, finger, begin):
    (sentence,) = words(read(no_pain(test, finger=finger, strength=strength)).raised)

    assert sentence.split(":")[0] == begin


@pytest.mark.parametrize(
    "finding",
    [
        familiar(strength=Strength.WEAK),
        no_pain(strength=Strength.NORMAL),
        no_pain(side=Side.LEFT, strength=Strength.WEAK),
    ],
)
def test_weakness_with_pain_or_on_the_other_side_is_not_raised(finding):
    assert read(finding).raised == ()


def test_new_tingling_is_raised_and_not_counted():
    reading = read(no_pain("passive-stretch", tingling=True))

    assert reading.familiar == ()
    assert words(reading.raised) == [
        "New tingling during a test: not counted. Check the nerves of the arm and the neck."
    ]


@pytest.mark.parametrize(
    ("finding", "stops"),
    [
        (familiar(pain=7), False),
        (familiar(pain=8), True),
        (other(Place.HAND, pain=9), True),
        (no_pain(), False),
        (no_pain(tingling=True), True),
    ],
)
def test_a_round_stops_at_8_of_10_or_at_new_tingling(finding, stops):
    assert must_stop(finding) is stops


@pytest.mark.parametrize(
    ("points", "question"),
    [
        (
            pressed(epicondyle=0, below=0),
            ["Palpation and its points say different things on the affected side: which is right?"],
        ),
        (pressed(epicondyle=3), []),
    ],
)
def test_familiar_palpation_with_only_quiet_points_is_asked_about(points, question):
    assert words(read(familiar("palpation"), points=points).questions) == question


GRIP = "Measure pain-free grip on both sides, after a rest."


@pytest.mark.parametrize(
    ("findings", "more", "sentences"),
    [
        ((familiar(),), {}, [GRIP]),
        ((familiar(), not_done("palpation")), {}, ["Press on the origin, on both sides.", GRIP]),
        (
            (familiar(), familiar("palpation")),
            {},
            ["Press the named points on both sides and rate each.", GRIP],
        ),
        ((familiar(), familiar("palpation")), {"points": pressed(epicondyle=4)}, [GRIP]),
        ((familiar(), familiar("palpation")), {"performer": Performer.SELF}, [GRIP]),
        (
            (familiar("palpation"), no_pain(variant="straight")),
            {"points": pressed(epicondyle=4)},
            [GRIP],
        ),
    ],
)
def test_what_to_check_next_follows_from_what_was_found(findings, more, sentences):
    assert words(read(*findings, **more).next) == sentences


def test_one_maneuver_brings_up_common_practice_and_how_little_accuracy_adds():
    assert read(familiar()).practice == PRACTICE
    assert read().practice is None
    assert str(PRACTICE).startswith(
        "Common practice takes one test with the familiar pain to make tennis elbow likely (no "
        "source)."
    )
