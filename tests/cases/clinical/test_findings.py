import pytest

from cases.clinical.battery_optional import BY_CODE, MANEUVERS, OPTIONAL
from cases.clinical.battery_tests import BATTERY
from cases.clinical.findings import (
    FindingAnswer,
    GivenFinding,
    Performer,
    Place,
    Strength,
    expected_findings,
    optional_findings,
)
from cases.clinical.maneuver import Mode
from cases.clinical.sides import Side


def finding(**changes):
    """No pain on resisted wrist extension of the right arm, but for `changes`."""
    usual = {"test": "wrist-extension", "side": Side.RIGHT, "answer": FindingAnswer.NONE}
    return GivenFinding(**(usual | changes))


def test_the_battery_has_five_maneuvers_in_order():
    assert [test.code for test in BATTERY] == [
        "passive-stretch",
        "wrist-extension",
        "supination",
        "finger-extension",
        "palpation",
    ]


@pytest.mark.parametrize("test", MANEUVERS, ids=lambda test: test.code)
def test_every_maneuver_is_described_in_full(test):
    words = (
        test.name,
        test.elbow,
        test.forearm,
        test.wrist,
        test.loads,
        test.positive,
        test.source,
    )
    lists = (test.steps, test.errors, test.stops, test.variants)

    assert [word for word in words if not word] == []
    assert [part for part in lists if not part] == []


@pytest.mark.parametrize("test", MANEUVERS, ids=lambda test: test.code)
def test_a_resisted_maneuver_and_no_other_says_what_is_resisted(test):
    assert bool(test.resisted) is (test.mode is Mode.RESISTED)


@pytest.mark.parametrize("test", MANEUVERS, ids=lambda test: test.code)
def test_every_accuracy_figure_has_its_limits(test):
    assert [row for row in test.accuracy if not row.figure.limits] == []


def test_three_optional_maneuvers_stand_beside_the_five():
    assert [test.code for test in OPTIONAL] == ["grip", "chair-lift", "cup-lift"]
    assert [test.code for test in MANEUVERS if test.is_optional] == [
        "grip",
        "chair-lift",
        "cup-lift",
    ]


def test_codes_of_maneuvers_and_of_their_variants_are_unique():
    ways = [(test.code, variant.code) for test in MANEUVERS for variant in test.variants]

    assert len(BY_CODE) == len(MANEUVERS)
    assert len(set(ways)) == len(ways)


def test_only_supination_needs_an_examiner():
    assert [test.code for test in MANEUVERS if test.needs_examiner] == ["supination"]


def test_the_cup_is_filled_with_cold_water():
    assert "Cold water, never a hot drink." in BY_CODE["cup-lift"].steps


def test_only_the_finger_test_has_fingers():
    assert {test.code: test.fingers for test in MANEUVERS if test.fingers} == {
        "finger-extension": (2, 3, 4, 5)
    }


@pytest.mark.parametrize("affected", list(Side))
def test_a_full_round_takes_the_unaffected_side_first(affected):
    expected = [(e.test.code, e.side, e.finger) for e in expected_findings(affected)]

    assert len(expected) == 2 * (4 + 4)
    assert expected == [e.spot for e in expected_findings(affected)]
    assert expected[:2] == [
        ("passive-stretch", affected.other, None),
        ("passive-stretch", affected, None),
    ]
    assert [(side, finger) for code, side, finger in expected if code == "finger-extension"] == [
        *((affected.other, finger) for finger in (2, 3, 4, 5)),
        *((affected, finger) for finger in (2, 3, 4, 5)),
    ]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"test": "handshake"}, "there is no test 'handshake'"),
        ({"finger": 3}, "wrist-extension has no finger 3"),
        ({"test": "finger-extension"}, "finger-extension has no finger None"),
        ({"test": "finger-extension", "finger": 1}, "finger-extension has no finger 1"),
        ({"pain": 11}, "pain 11 is not from 0 to 10"),
        ({"pain": -1}, "pain -1 is not from 0 to 10"),
        ({"answer": FindingAnswer.FAMILIAR}, "familiar pain needs its rating"),
        ({"answer": FindingAnswer.OTHER, "pain": 3}, "other pain needs its place"),
        ({"answer": FindingAnswer.NOT_DONE, "why_not_done": " "}, "say why it was not done"),
        (
            {"test": "palpation", "strength": Strength.NORMAL},
            "palpation: strength is of resisted tests",
        ),
        ({"variant": "upside-down"}, "wrist-extension: there is no variant 'upside-down'"),
    ],
)
def test_an_impossible_finding_is_refused(changes, message):
    with pytest.raises(ValueError, match=message):
        finding(**changes)


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"answer": FindingAnswer.FAMILIAR, "pain": 6},
        {"answer": FindingAnswer.OTHER, "where": Place.HAND},
        {"answer": FindingAnswer.NOT_DONE, "why_not_done": "plaster"},
        {"test": "finger-extension", "finger": 5},
        {"strength": Strength.WEAK, "tingling": True},
        {"variant": "straight"},
    ],
)
def test_a_finding_that_says_all_it_must_is_taken(changes):
    taken = finding(**changes)

    assert taken.spot == (taken.test, Side.RIGHT, changes.get("finger"))


@pytest.mark.parametrize("performer", [Performer.PARTNER, Performer.SELF])
def test_a_round_without_an_examiner_leaves_out_what_needs_one(performer):
    full = expected_findings(Side.RIGHT)
    alone = expected_findings(Side.RIGHT, performer=performer)

    assert {e.test.code for e in full} - {e.test.code for e in alone} == {"supination"}
    assert len(alone) == len(full) - 2


def test_optional_findings_take_the_unaffected_side_first():
    assert [(e.test.code, e.side) for e in optional_findings(Side.RIGHT)] == [
        (code, side)
        for code in ("grip", "chair-lift", "cup-lift")
        for side in (Side.LEFT, Side.RIGHT)
    ]


def test_the_way_it_was_done_is_the_published_variant():
    assert finding().way is None
    assert finding(variant="straight").way.text == "Elbow fully straight."


@pytest.mark.parametrize(
    ("strength", "weak"),
    [(None, False), (Strength.NORMAL, False), (Strength.WEAK, True), (Strength.ABSENT, True)],
)
def test_weak_is_less_than_normal(strength, weak):
    assert finding(strength=strength).is_weak is weak
