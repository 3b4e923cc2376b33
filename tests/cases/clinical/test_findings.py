import pytest

from cases.clinical.battery_tests import BATTERY, Mode
from cases.clinical.findings import FindingAnswer, GivenFinding, Place, expected_findings
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


@pytest.mark.parametrize("test", BATTERY, ids=lambda test: test.code)
def test_every_maneuver_is_described_in_full(test):
    words = (test.name, test.elbow, test.forearm, test.wrist, test.positive, test.source)
    lists = (test.steps, test.errors, test.stops, test.variants)

    assert [word for word in words if not word] == []
    assert [part for part in lists if not part] == []


@pytest.mark.parametrize("test", BATTERY, ids=lambda test: test.code)
def test_a_resisted_maneuver_and_no_other_says_what_is_resisted(test):
    assert bool(test.resisted) is (test.mode is Mode.RESISTED)


@pytest.mark.parametrize("test", BATTERY, ids=lambda test: test.code)
def test_every_accuracy_figure_has_its_limits(test):
    assert [row for row in test.accuracy if not row.figure.limits] == []


def test_only_the_finger_test_has_fingers():
    assert {test.code: test.fingers for test in BATTERY if test.fingers} == {
        "finger-extension": (2, 3, 4, 5)
    }


@pytest.mark.parametrize("affected", list(Side))
def test_a_full_round_takes_the_unaffected_side_first(affected):
    expected = [(e.test.code, e.side, e.finger) for e in expected_findings(affected)]

    assert len(expected) == 2 * (4 + 4)
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
        ({"answer": FindingAnswer.FAMILIAR}, "familiar pain needs its strength"),
        ({"answer": FindingAnswer.OTHER, "pain": 3}, "other pain needs its place"),
        ({"answer": FindingAnswer.NOT_DONE, "why_not_done": " "}, "say why it was not done"),
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
    ],
)
def test_a_finding_that_says_all_it_must_is_taken(changes):
    taken = finding(**changes)

    assert taken.spot == (taken.test, Side.RIGHT, changes.get("finger"))
