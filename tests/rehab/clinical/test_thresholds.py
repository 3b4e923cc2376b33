"""The table of thresholds is complete and a clinic can change only what it may."""

import pytest

from clinic.evidence import Status
from rehab.clinical.thresholds import DEFAULTS, THRESHOLDS, Threshold, in_force


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
    ],
)
def test_a_setting_out_of_order_is_refused(changes, complaint):
    with pytest.raises(ValueError, match=complaint):
        in_force(changes)
