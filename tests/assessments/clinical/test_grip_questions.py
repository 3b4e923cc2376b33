import pytest

from assessments.clinical.force import Unit
from assessments.clinical.grip_questions import SWAPPED, UNIT_TOLERANCE, DialReading, questions
from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_STRAIGHT
from cases.clinical.sides import Side


def read(way=PAIN_FREE_STRAIGHT, **sides):
    """Readings by side: `read(left=(30, 31), right=(12,))`."""
    return [
        DialReading(way=way, side=Side(side), number=number, value=value)
        for side, values in sides.items()
        for number, value in enumerate(values, start=1)
    ]


def asked(readings, unit=Unit.KGF):
    """What is asked of a sore right arm."""
    return [str(q.words) for q in questions(readings, unit, affected=Side.RIGHT)]


def test_plain_readings_are_not_asked_about():
    assert asked(read(left=(30, 31, 30.5), right=(12, 12.5, 12.2))) == []


@pytest.mark.parametrize(
    ("odd", "first", "second"),
    [(294, "N", "kg"), (66, "lb", "kg"), (133, "N", "lb"), (3.05, "N", "kg")],
)
def test_one_trial_in_another_unit_is_asked_about(odd, first, second):
    (question,) = questions(read(left=(30, 30, odd)), Unit.KGF, affected=Side.RIGHT)

    assert str(question.words) == (
        f"{odd:g} beside 30: {first} and {second} differ by such a factor. "
        "Was one trial read in another unit?"
    )
    assert [one.number for one in question.readings] == [3]
    assert question.about_unit


@pytest.mark.parametrize(("odd", "count"), [(72.7, 1), (72.9, 0)])
def test_a_factor_is_recognized_within_ten_percent(odd, count):
    assert UNIT_TOLERANCE.value == 10
    assert len(asked(read(left=(30, 30, odd)))) == count


def test_of_two_trials_the_later_one_is_asked_about():
    (question,) = questions(read(left=(30, 66)), Unit.KGF, affected=Side.RIGHT)

    assert [one.number for one in question.readings] == [2]


@pytest.mark.parametrize(
    ("unit", "end"), [(Unit.N, "is the dial in kg?"), (Unit.KGF, "is that right?")]
)
def test_all_low_readings_are_one_question(unit, end):
    readings = read(MAXIMAL_BENT, left=(5, 5.5, 5), right=(5,))

    assert asked(readings, unit) == [f"Below 60 N for a grip that pain does not stop: {end}"]


def test_pain_at_the_first_touch_is_asked_about_and_doubts_no_unit():
    (question,) = questions(read(right=(0, 12)), Unit.KGF, affected=Side.RIGHT)

    assert str(question.words) == "0 without pain: did it hurt at the first touch of the handle?"
    assert not question.about_unit


@pytest.mark.parametrize("readings", [read(left=(0,)), read(MAXIMAL_BENT, right=(0,))])
def test_nothing_on_the_dial_is_asked_about(readings):
    assert asked(readings) == ["0 for a grip that pain does not stop: did the dial move?"]


@pytest.mark.parametrize(("right", "count"), [(45, 0), (45.1, 1)])
def test_an_affected_side_much_stronger_than_the_other_is_asked_about(right, count):
    assert SWAPPED.value == 1.5
    assert len(asked(read(left=(30, 30), right=(right, right)))) == count


def test_the_question_about_swapped_sides_says_how_many_times():
    assert asked(read(left=(20, 20), right=(36, 36))) == [
        "The affected side is 1.8 times as strong as the other: are the sides swapped?"
    ]


def test_an_unaffected_side_however_strong_is_not_asked_about():
    assert asked(read(left=(50, 50), right=(10, 10))) == []


def test_a_changed_reading_makes_another_question():
    keys = [
        questions(read(left=(5, value)), Unit.KGF, affected=Side.RIGHT)[0].key for value in (5, 5.1)
    ]

    assert keys == [
        "low kgf pain_free-left-1=5 pain_free-left-2=5",
        "low kgf pain_free-left-1=5 pain_free-left-2=5.1",
    ]


def test_a_broken_reading_is_refused():
    with pytest.raises(ValueError, match="not a reading"):
        asked(read(left=(-1,)))
