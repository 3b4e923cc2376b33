"""The table of thresholds is complete and a clinic can change only what it may."""

import pytest

from clinic.evidence import Status
from rehab.clinical.thresholds import (
    DEFAULTS,
    THRESHOLDS,
    Threshold,
    crossing,
    in_force,
    in_steps,
)


def test_every_code_names_one_row():
    assert len(DEFAULTS) == len(THRESHOLDS)


def test_every_row_says_what_it_is_and_where_it_comes_from():
    silent = [row.code for row in THRESHOLDS if not (row.words and row.source)]
    assert silent == []


def test_every_setting_lies_in_its_own_range():
    outside = [r.code for r in THRESHOLDS if r.setting and not r.lowest <= r.value <= r.highest]
    assert outside == []


def test_a_row_without_a_source_is_never_called_published():
    bold = [r.code for r in THRESHOLDS if r.source == "none" and r.status != Status.CONVENTION]
    assert bold == []


@pytest.mark.parametrize("row", THRESHOLDS, ids=lambda row: row.code)
def test_a_row_survives_storage(row):
    assert Threshold.from_json(row.as_json()) == row


def test_a_changed_value_is_the_clinics_own():
    row = in_force({"standard_green_ceiling": 2})["standard_green_ceiling"]
    assert (row.value, row.status) == (2, Status.CLINIC_SETTING)


def test_an_unchanged_value_keeps_its_source():
    assert in_force({"standard_green_ceiling": 3}) == dict(DEFAULTS)


@pytest.mark.parametrize(
    ("changes", "complaint"),
    [
        ({"nonsense": 1}, "nonsense is not a setting"),
        ({"grip_change_n": 50}, "grip_change_n is not a setting"),
        ({"standard_red_floor": 7}, "standard_red_floor must lie in 3 to 6"),
        ({"standard_red_floor": 3}, "standard_green_ceiling must be below standard_red_floor"),
        ({"morning_watch_rise": 2, "morning_red_rise": 1}, "morning_watch_rise must not be above"),
        ({"strict_green_ceiling": 3, "standard_green_ceiling": 2}, "strict_green_ceiling must"),
        ({"rest_pain": 1.5}, "rest_pain goes in steps of 1"),
        ({"ratio_for_heavy": 0.855}, "ratio_for_heavy goes in steps of 0.01"),
    ],
)
def test_a_setting_out_of_order_is_refused(changes, complaint):
    with pytest.raises(ValueError, match=complaint):
        in_force(changes)


def test_an_own_value_keeps_the_printed_one_beside_it():
    row = in_force({"standard_red_floor": 5})["standard_red_floor"]
    assert (row.value, row.printed) == (5, 6)
    assert Threshold.from_json(row.as_json()) == row


def test_the_ends_of_every_range_lie_on_its_steps():
    off = [
        row.code
        for row in THRESHOLDS
        if row.setting and not all(in_steps(row, end) for end in (row.lowest, row.highest))
    ]
    assert off == []


@pytest.mark.parametrize(
    ("code", "value", "words"),
    [
        ("standard_green_ceiling", 5, None),
        ("standard_red_floor", 3, "It must stay above"),
        ("standard_green_ceiling", 6, "It must stay below"),
        ("morning_watch_rise", 2, None),
        ("morning_watch_rise", 2.5, "It must not be above"),
        ("morning_red_rise", 0.5, "It must not be below"),
        ("standard_red_floor", 2, "It must stay above"),
        ("prtee_drop", 31, None),
    ],
)
def test_a_value_that_crosses_its_neighbor_is_told_so(code, value, words):
    said = crossing(code, value, limits=DEFAULTS)
    assert (str(said).startswith(words) if said else None) == (words and True)
