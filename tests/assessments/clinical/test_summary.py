from dataclasses import replace

import pytest

from assessments.clinical import activities, grip
from assessments.clinical.change import Better, compare
from assessments.clinical.force import Unit
from assessments.clinical.measures import BY_KEY
from assessments.clinical.summary import ITSELF, PLAIN, in_plain_words, one_value, plain
from clinic.wording import say

CHANCE = "When nothing has changed, such numbers still differ, mostly by less than"


def told(parts):
    return [str(part) for part in parts]


def test_every_measure_of_the_register_has_plain_words():
    assert {*BY_KEY} - {*PLAIN} == ITSELF == {"global_rating"}


def test_a_pain_that_fell_is_told_with_every_size_it_reaches():
    assert told(in_plain_words("pain_on_gripping", BY_KEY["pain_on_gripping"].change(6, 4))) == [
        "Your pain when you grip went from 6 to 4 out of 10.",
        "Lower is better.",
        f"{CHANCE} 1.4 points.",
        "This change is bigger than that.",
        "Studies name 3 sizes of change that mattered to the people in them.",
        "This change reaches 2 points, 30 %, but not 2.3 points.",
        "Not all of these people had a tennis elbow.",
    ]


def test_a_pain_that_fell_far_reaches_all_sizes():
    said = told(in_plain_words("pain_at_rest", BY_KEY["pain_on_gripping"].change(6, 3)))

    assert said[5] == "This change reaches all of them: 2 points, 30 %, 2.3 points."


def test_a_pain_that_rose_is_told_without_any_size_of_getting_better():
    assert told(in_plain_words("pain_at_rest", BY_KEY["pain_on_gripping"].change(3, 6))) == [
        "Your pain at rest went from 3 to 6 out of 10.",
        "Lower is better.",
        f"{CHANCE} 1.4 points.",
        "This change is bigger than that.",
    ]


def test_a_change_within_the_error_may_be_chance():
    assert told(in_plain_words("pain_at_rest", BY_KEY["pain_on_gripping"].change(9, 8)))[3:] == [
        "This change is no bigger than that, so it may be chance.",
        "Studies name 3 sizes of change that mattered to the people in them.",
        "This change reaches none of them: 2 points, 30 %, 2.3 points.",
        "Not all of these people had a tennis elbow.",
    ]


def test_no_change_is_one_sentence():
    assert told(in_plain_words("pain_at_rest", BY_KEY["pain_on_gripping"].change(3, 3))) == [
        "Your pain at rest is the same as before: 3 out of 10."
    ]


def test_a_change_too_small_to_show_is_about_the_same():
    change = compare(121.6, 121.7, unit="N", better=Better.UP)

    assert told(in_plain_words("grip_maximal", change)) == [
        "Your strongest grip is about the same as before: 12.4 kg."
    ]


def test_sizes_from_memory_are_told_as_not_checked():
    said = told(in_plain_words("prtee", BY_KEY["prtee"].change(49, 36)))

    assert said[5:] == [
        "This change reaches 7 points, 22 %, 11 points, but not 37 %, 14.8 points, 31.33 points.",
        "4 of these sizes were not checked in the studies themselves.",
    ]


@pytest.mark.parametrize(
    ("unit", "moved", "chance"),
    [
        (Unit.KGF, "went from 12.4 to 21.9 kg.", "9.38 kg."),
        (Unit.LBF, "went from 27.4 to 48.3 lb.", "20.68 lb."),
        (Unit.N, "went from 121.7 to 215 N.", "92 N."),
    ],
)
def test_a_grip_is_told_in_the_unit_of_the_dial(unit, moved, chance):
    straight = grip.Position.STRAIGHT
    change = grip.grip_change(121.67, 215, straight, within_visit=False, trials=3)
    said = told(in_plain_words("grip_pain_free", change, unit=unit))

    assert (said[0], said[2]) == (f"Your grip before it hurts {moved}", f"{CHANCE} {chance}")


def test_without_a_figure_that_fits_nothing_is_said_about_chance():
    change = grip.grip_change(100, 150, grip.Position.STRAIGHT, within_visit=False, trials=2)
    said = told(in_plain_words("grip_pain_free", change))

    assert said[2:] == [
        "No study that fits tells how much such numbers differ when nothing has changed.",
        "One study names a size of change that mattered to the people in it: 6.5 kg.",
        "This change does not reach it.",
        "Not all of these people had a tennis elbow.",
    ]


def test_the_grip_ratio_is_told_as_a_share_of_the_other_arm():
    change = compare(0.392, 0.62, unit="", better=Better.UP)

    assert told(in_plain_words("grip_ratio", change))[0] == (
        "The grip of your sore arm went from 39 to 62 % of the other arm."
    )


def test_a_change_equal_to_its_error_is_just_as_big():
    change = activities.activities_change({"lift": 2, "dig": 4}, {"lift": 4, "dig": 6})
    said = told(in_plain_words("activities", change))

    assert (said[0], said[3]) == (
        "Your score for your own tasks went from 3 to 5 out of 10.",
        "This change is just as big as that.",
    )


def test_tasks_that_were_scored_once_are_told_as_left_out():
    change = activities.activities_change({"lift": 2}, {"lift": 6})
    part = replace(change, over=say("over the 1 rated on both dates"))

    assert told(in_plain_words("activities", part))[2] == (
        "Only the tasks that you scored both times count here."
    )


def test_one_figure_from_memory_is_told_as_not_checked():
    important = BY_KEY["prtee"].important[:1]
    change = compare(40, 30, unit="points", better=Better.DOWN, important=important)

    assert told(in_plain_words("prtee", change))[3:] == [
        "One study names a size of change that mattered to the people in it: 7 points.",
        "This change reaches it.",
        "One of these sizes was not checked in the study itself.",
    ]


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        (
            "pain_at_rest",
            3,
            ["Your pain at rest: 3 out of 10.", "There is nothing to compare it with yet."],
        ),
        (
            "grip_maximal",
            300,
            ["Your strongest grip: 30.6 kg.", "There is nothing to compare it with yet."],
        ),
        ("time_off_work", 3, ["Your time off work: 3 days."]),
        *(
            (
                "global_rating",
                rating,
                [
                    f"You rate your elbow {shown} next to the start, on a scale from −5 (worse) to "
                    "+5 (better)."
                ],
            )
            for rating, shown in ((3, "+3"), (0, "0"), (-2, "−2"))
        ),
    ],
)
def test_a_single_value_is_told_without_a_comparison(key, value, said):
    assert told(one_value(key, value)) == said


@pytest.mark.parametrize("key", ["time_off_work", "global_rating"])
def test_what_is_not_compared_is_told_as_its_newest_value(key):
    change = compare(0, 4, unit=BY_KEY[key].unit, better=BY_KEY[key].better)

    assert in_plain_words(key, change) == one_value(key, 4)


def test_a_measure_without_plain_words_is_refused():
    with pytest.raises(ValueError, match="no plain words for weight"):
        plain("weight")
