"""Two rounds side by side, in words."""

import pytest

from cases.clinical.battery_change import points
from tests.cases.clinical.rounds import familiar, full_round, no_pain, read, words


@pytest.mark.parametrize(
    ("least", "most", "phrase"),
    [(3, 3, "by 3 points"), (1, 1, "by 1 point"), (1, 4, "by 1–4 points")],
)
def test_a_change_is_said_in_points(least, most, phrase):
    assert str(points(least, most)) == phrase


def test_one_spot_that_hurts_less_is_said_without_a_range():
    assert words(read(familiar(pain=3), previous=full_round(familiar(pain=6))).compared) == [
        "Still hurting, but less: 1, by 3 points."
    ]


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ((6, 6), (0, 0), "Battery: nothing that hurt last time hurts now."),
        ((0, 0), (2, 0), "Battery: nothing hurt last time; now 2 points in all."),
        (
            (6, 6),
            (3, 3),
            "Battery: half as much familiar pain as last time or less, 12 points in all then, 6 now.",
        ),
        (
            (6, 6),
            (4, 3),
            "Battery: less familiar pain than last time, 12 points in all then, 7 now.",
        ),
        (
            (6, 4),
            (6, 4),
            "Battery: unchanged, the same pain in the same tests (10 points).",
        ),
        (
            (6, 4),
            (4, 6),
            "Battery: as much familiar pain as last time in all (10 points), some tests less and "
            "some more.",
        ),
        (
            (3, 3),
            (6, 3),
            "Battery: more familiar pain than last time, 6 points in all then, 9 now.",
        ),
    ],
)
def test_the_course_is_one_sentence(before, after, sentence):
    assert str(read(*two(*after), previous=full_round(*two(*before))).course) == sentence


def two(wrist, palpation):
    tests = {"wrist-extension": wrist, "palpation": palpation}
    return [familiar(test, pain=pain) if pain else no_pain(test) for test, pain in tests.items()]


def test_there_is_no_course_without_a_round_before_or_without_pain():
    assert read(familiar()).course is None
    assert read(previous=full_round()).course is None


def test_a_test_done_another_way_is_named_beside_the_change():
    now, before = familiar(pain=3, variant="straight"), full_round(familiar())

    assert words(read(now, previous=before).compared)[1:] == [
        "Resisted wrist extension was done another way than last time; its change may come of that."
    ]


def test_a_changed_spot_names_its_finger():
    finger = {"test": "finger-extension", "finger": 3}
    (change,) = read(
        familiar(pain=2, **finger), previous=full_round(familiar(pain=5, **finger))
    ).changes

    assert str(change.spot_name) == "Resisted extension of one finger, middle finger"
    assert (change.less_by, change.more_by) == (3, -3)
