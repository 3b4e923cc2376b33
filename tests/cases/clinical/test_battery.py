import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.clinical.battery import CAVEAT, Trend, read_battery
from cases.clinical.findings import Place
from cases.clinical.sides import Side
from tests.cases.clinical.rounds import familiar, full_round, no_pain, not_done, other, read, words

STRAIGHT = "Repeat wrist extension with the elbow straight: pain only there is missed when bent."


def test_a_quiet_round_raises_nothing():
    reading = read()

    assert words(reading.sentences) == [
        "Familiar pain in 0 of 5 tests on the affected side.",
        STRAIGHT,
        "Nothing gave the familiar pain: look at neck, shoulder and wrist, and ask again what "
        "brings the pain on.",
        str(CAVEAT),
    ]


def test_maneuvers_with_familiar_pain_are_counted_and_named():
    reading = read(familiar("palpation", pain=7), familiar("wrist-extension", pain=5))

    assert reading.familiar == ("wrist-extension", "palpation")
    assert words(reading.summary) == [
        "Familiar pain in 2 of 5 tests on the affected side.",
        "Resisted wrist extension: 5 of 10. It acts on the wrist extensors and their origin, above "
        "all the short one (ECRB).",
        "Palpation of the common extensor origin: 7 of 10. It acts on the common extensor origin, "
        "by pressing on it.",
    ]


def test_four_fingers_are_one_maneuver():
    reading = read(*(familiar("finger-extension", finger=n) for n in (2, 3, 4, 5)))

    assert reading.familiar == ("finger-extension",)
    assert words(reading.summary)[1:3] == [
        "Resisted extension of one finger, index finger: 6 of 10. It acts on the finger extensor "
        "(EDC).",
        "Resisted extension of one finger, middle finger: 6 of 10. It acts on the finger extensor "
        "(EDC) and the short wrist extensor (ECRB).",
    ]


def test_a_maneuver_not_done_is_not_counted_as_quiet():
    assert read(not_done("palpation")).done == 4


def test_a_short_round_says_how_much_is_missing():
    reading = read_battery((familiar(),), affected=Side.RIGHT, resting_pain=0)

    assert (reading.done, reading.missing) == (1, 15)
    assert words(reading.summary)[-1] == "Findings of a full round that are not recorded: 15."


def test_familiar_pain_on_the_other_side_is_said():
    reading = read(familiar(), familiar("palpation", side=Side.LEFT))

    assert reading.familiar_other_side == ("palpation",)
    assert words(reading.summary)[-1] == "Tests with familiar pain on the other side: 1."
    assert reading.questions == ()


@given(st.lists(st.sampled_from(["passive-stretch", "supination", "palpation"]), unique=True))
def test_the_reading_always_closes_with_what_accuracy_can_not_do(tests):
    reading = read(*(familiar(test) for test in tests))

    assert len(reading.familiar) == len(tests)
    assert reading.sentences[-1] == CAVEAT
    assert str(CAVEAT) == (
        "Published accuracy of these tests can't rule tennis elbow in or out "
        "(Zwerus 2018; Karanasios 2021)."
    )


def test_a_pain_free_arm_needs_no_word_about_resting_pain():
    assert read(resting_pain=0).resting is None


def test_resting_pain_comes_first_and_asks_to_go_on_or_postpone():
    assert str(read(resting_pain=1).sentences[0]) == (
        "The arm hurt 1 of 10 at rest before the first test, so a test that hurts may only show "
        "the pain that was there. Go on with that in mind, or postpone."
    )


@pytest.mark.parametrize("pain", [-1, 11])
def test_resting_pain_is_a_rating(pain):
    with pytest.raises(ValueError, match=f"resting pain {pain}"):
        read(resting_pain=pain)


RADIAL = (
    "Pain 3–5 cm below the epicondyle on supination or the middle finger: the place that is "
    "described for the radial nerve in the forearm. Go over that screening question."
)
BELOW = "Pain 3–5 cm below the epicondyle: not counted. Press there on both sides and compare."


@pytest.mark.parametrize(
    ("finding", "sentence"),
    [
        (other(Place.BELOW_EPICONDYLE, "supination"), RADIAL),
        (other(Place.BELOW_EPICONDYLE, "finger-extension", finger=3), RADIAL),
        (other(Place.BELOW_EPICONDYLE, "finger-extension", finger=2), BELOW),
        (other(Place.BELOW_EPICONDYLE), BELOW),
        (
            other(Place.HAND),
            "Pain in the forearm, hand or fingers: not counted. Ask about tingling and check the "
            "nerves of the arm.",
        ),
        (
            other(Place.FOREARM),
            "Pain in the forearm, hand or fingers: not counted. Ask about tingling and check the "
            "nerves of the arm.",
        ),
        (
            other(Place.NECK_SHOULDER),
            "Pain in the neck or shoulder: not counted. Go over the neck questions.",
        ),
        (
            other(Place.FRONT, "supination"),
            "Pain at the front of the elbow on supination: not counted. Test the distal biceps.",
        ),
        (
            other(Place.FRONT),
            "Pain at the front of the elbow: not counted. Examine it separately.",
        ),
        (
            other(Place.INSIDE),
            "Pain on the inside of the elbow: not counted. Examine that side separately.",
        ),
        (
            other(Place.ELSEWHERE),
            "Pain elsewhere: not counted. Write down where and examine it.",
        ),
    ],
)
def test_other_pain_is_not_positive_and_raises_what_to_look_at(finding, sentence):
    reading = read(finding)

    assert reading.familiar == ()
    assert words(reading.raised) == [sentence]


@pytest.mark.parametrize("place", list(Place))
@pytest.mark.parametrize("test", ["passive-stretch", "supination"])
def test_every_place_raises_exactly_one_thing(test, place):
    assert len(read(other(place, test)).raised) == 1


def test_other_pain_of_the_unaffected_side_raises_nothing():
    assert read(other(Place.HAND, side=Side.LEFT)).raised == ()


@pytest.mark.parametrize(("pain", "raised"), [(7, 0), (8, 1)])
def test_severe_pain_in_a_test_names_the_usual_stop(pain, raised):
    assert len(read(familiar(pain=pain)).raised) == raised


@pytest.mark.parametrize(
    ("finding", "question"),
    [
        (
            familiar(side=Side.LEFT),
            "Familiar pain only on the unaffected side: were the sides mixed up?",
        ),
        (
            familiar(where=Place.HAND),
            "Familiar pain with another place named: is it at the epicondyle, or other pain?",
        ),
        (familiar(pain=0), "Familiar pain of strength 0: is it no pain?"),
        (
            no_pain("palpation", pain=4),
            "No pain, but a strength was written down: which is right?",
        ),
    ],
)
def test_contradictions_are_asked_about(finding, question):
    assert words(read(finding).questions) == [question]


@pytest.mark.parametrize(
    ("before", "after", "trend", "less_by"),
    [
        (6, 2, Trend.LESS, 4),
        (6, 6, Trend.SAME, 0),
        (6, 7, Trend.MORE, -1),
    ],
)
def test_a_spot_that_still_hurts_is_compared(before, after, trend, less_by):
    (change,) = read(familiar(pain=after), previous=full_round(familiar(pain=before))).changes

    assert (change.trend, change.less_by) == (trend, less_by)


def test_spots_settle_and_appear():
    reading = read(familiar("palpation"), previous=full_round(familiar("supination")))

    assert [(change.test, change.trend) for change in reading.changes] == [
        ("supination", Trend.SETTLED),
        ("palpation", Trend.NEW),
    ]


def test_the_comparison_is_said_in_words():
    before = full_round(familiar("supination"), familiar(pain=7), familiar("palpation", pain=5))
    reading = read(familiar(pain=3), familiar("palpation", pain=4), previous=before)

    assert words(reading.compared) == [
        "Quiet now: 1 of the spots that hurt before.",
        "Still hurting, but less: 2, by 1–4 points.",
    ]


def test_a_test_not_done_is_not_called_quiet():
    reading = read(not_done(), previous=full_round(familiar()))

    assert reading.changes == ()
    assert words(reading.compared) == ["No spot with familiar pain was tested in both rounds."]


def test_without_a_round_before_nothing_is_compared():
    reading = read(familiar())

    assert (reading.changes, reading.compared) == ((), ())


def test_one_spot_has_one_finding_in_either_round():
    twice = (familiar(), familiar(pain=3))
    with pytest.raises(ValueError, match="two findings"):
        read_battery(twice, affected=Side.RIGHT, resting_pain=0)
    with pytest.raises(ValueError, match="two findings"):
        read(previous=twice)
