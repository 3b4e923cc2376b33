"""Schedules by week, as published and read second-hand; see `rehab/clinical/schedules.py`."""

import pytest

from rehab.clinical.exercises import CARDS
from rehab.clinical.schedules import HEAVY, LONG_HOLDS, TWIST_BAR, peterson, schedules_for


def lines(schedule) -> list[tuple[str, str]]:
    return [(row.weeks, str(row.words)) for row in schedule.rows]


# Kongsgaard 2009, Scand J Med Sci Sports 19:790–802, as an account of tendon programs prints it.
def test_heavy_slow_resistance_has_the_five_rows_of_its_table():
    assert lines(HEAVY) == [
        ("1", "3 × 15 repetition maximum, 3 s up and 3 s down"),
        ("2–3", "3 × 12 repetition maximum, 3 s up and 3 s down"),
        ("4–5", "4 × 10 repetition maximum, 3 s up and 3 s down"),
        ("6–8", "4 × 8 repetition maximum, 3 s up and 3 s down"),
        ("9–12", "4 × 6 repetition maximum, 3 s up and 3 s down"),
    ]


# Peterson 2011, doi:10.3109/03009734.2011.600476: 1 kg and 2 kg, 0.1 kg more each week for three months.
@pytest.mark.parametrize(("sex", "first", "last"), [("female", 1.0, 2.2), ("male", 2.0, 3.2)])
def test_petersons_line_is_shown_for_the_patients_sex(sex, first, last):
    rows = lines(peterson(sex))

    assert (len(rows), rows[0], rows[-1]) == (
        13, ("1", f"3 × 15 with {first} kg"), ("13", f"3 × 15 with {last} kg"),
    )  # fmt: skip


def test_where_the_sex_is_not_stated_both_lines_stand_side_by_side():
    assert lines(peterson(None))[3] == ("4", "3 × 15 with 1.3 kg (women), 2.3 kg (men)")


# Murtagh's textbook: 10 s each direction, 5 s more each week to 60 s in week 11.
def test_long_holds_end_at_a_minute_in_week_eleven():
    rows = lines(LONG_HOLDS)

    assert (rows[0], rows[-1]) == (
        ("1", "10 s each way, twice a day"), ("11", "60 s each way, twice a day"),
    )  # fmt: skip


# Tyler 2010, J Shoulder Elbow Surg 19:917–922: 3 × 15 daily; 7.2 weeks in the mean.
def test_the_twist_bar_stays_the_same_for_its_weeks():
    assert lines(TWIST_BAR) == [
        ("1–7", "3 × 15 a day, about 4 s down; a thicker bar when it is easy")
    ]


def test_each_schedule_is_of_exercises_that_exist():
    named = HEAVY.cards | LONG_HOLDS.cards | TWIST_BAR.cards | peterson(None).cards

    assert named - {card.code for card in CARDS} == set()
    assert schedules_for("row", sex=None) == ()
