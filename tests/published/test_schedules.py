"""Schedules by week, as published; see `rehab/clinical/schedules.py` for how far each is known."""

import pytest

from rehab.clinical.exercises import CODES
from rehab.clinical.schedules import HEAVY, HOLDS, TWIST_BAR, peterson, schedules_for


def lines(schedule) -> list[tuple[str, str]]:
    return [(str(row.weeks), str(row.words)) for row in schedule.rows]


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
PETERSON = {
    "female": {1: 1.0, 2: 1.1, 4: 1.3, 6: 1.5, 8: 1.7, 10: 1.9, 12: 2.1, 13: 2.2},
    "male":   {1: 2.0, 2: 2.1, 4: 2.3, 6: 2.5, 8: 2.7, 10: 2.9, 12: 3.1, 13: 3.2},
}  # fmt: skip


@pytest.mark.parametrize("sex", ["female", "male"])
def test_petersons_line_is_shown_for_the_patients_sex(sex):
    rows = dict(lines(peterson(sex)))

    assert list(rows) == [str(week) for week in range(1, 14)]
    for week, kg in PETERSON[sex].items():
        assert rows[str(week)] == f"3 × 15 with {kg} kg"


def test_where_the_sex_is_not_stated_both_lines_stand_side_by_side():
    assert lines(peterson(None))[3] == ("4", "3 × 15 with 1.3 kg (women), 2.3 kg (men)")


# Peterson 2014, doi:10.1177/0269215514527595: its loads are from memory, the trial's rise is not.
def test_lowering_alone_has_the_same_line_and_says_that_it_is_from_memory():
    (lowering,) = schedules_for("lower-slowly", sex="male")

    assert lines(lowering) == lines(peterson("male"))
    assert lowering.status == "from memory, not checked"


# Vuvan 2020, doi:10.1249/MSS.0000000000002128: 56 daily sessions; the doses were not read.
def test_the_holds_name_no_dose_that_was_not_read():
    assert lines(HOLDS) == [("1–8", "Every day, less than 10 minutes; a little more each week")]


# Tyler 2010, J Shoulder Elbow Surg 19:917–922: 3 × 15 a day, a thicker bar when it is easy.
def test_the_twist_bar_goes_by_ease_and_not_by_week():
    assert lines(TWIST_BAR) == [
        ("from 1 on", "3 × 15 a day, about 4 s down; a thicker bar when it is easy")
    ]
    assert TWIST_BAR.rows[0].holds_in(30)


@pytest.mark.parametrize(
    ("week", "held"), [(1, "1"), (2, "2–3"), (3, "2–3"), (8, "6–8"), (12, "9–12"), (13, None)]
)
def test_a_week_is_in_one_line_until_the_schedule_ends(week, held):
    found = [str(row.weeks) for row in HEAVY.rows if row.holds_in(week)]

    assert found == ([held] if held else [])


def test_only_six_exercises_have_a_published_schedule():
    assert {code for code in CODES if schedules_for(code, sex=None)} == {
        "wrist-hold", "lower-slowly", "lift-and-lower", "turn-palm", "straight-arm-lift", "twist-bar",
    }  # fmt: skip
