"""Every number that the ladder decides by, as the sources and common practice print it.

Published or read second-hand: pain limits (Karanasios register NCT05919914; Silbernagel 2007;
Holmgren 2012), load steps (ACSM 2009; Peterson 2011), holds (Coombes 2016; Stasinopoulos 2017;
Murtagh), grip error (Hill 2023), pain and PRTEE change (doi:10.1080/09593985.2025.2450090), review
times (NHS, NICE CKS 2020), steps of the racket program (Myers 2016). From memory: settled_for_load,
high_pain, moderate_pain, high_prtee. All others: common practice, no source.
"""

import pytest

from rehab.clinical.thresholds import DEFAULTS

# fmt: off
PRINTED = {
    "strict_green_ceiling": 2, "strict_red_floor": 3,
    "standard_green_ceiling": 3, "standard_red_floor": 6,
    "morning_watch_rise": 1, "morning_red_rise": 2, "baseline_days": 7,
    "week_hold_rise": 1, "week_red_rise": 2,
    "watch_for_step_down": 3, "reds_for_stage_back": 2, "nights_for_stage_back": 2,
    "back_days_least": 3, "back_days_most": 7,
    "flare_rise": 2, "flares_for_holds": 2,
    "settled_for_load": 2, "repetitions_over": 1, "load_step_days": 7,
    "load_step_least": 2, "load_step_most": 10, "load_step_floor_kg": 0.1,
    "repetitions_ceiling": 20, "hold_step_s": 5, "reduce_least": 10, "reduce_most": 20,
    "adherence_share": 70,
    "stage_1_days": 7, "stage_2_days": 21, "stage_3_days": 21, "stage_4_days": 28, "stage_5_days": 21,
    "days_running": 3, "hold_target_s": 45, "settled_running": 2,
    "night_wakings": 1, "rest_pain": 2, "load_gain_kg": 0.3, "grip_change_n": 92,
    "ratio_for_heavy": 0.80, "ratio_for_return": 0.90,
    "prtee_drop": 15, "prtee_for_heavy": 30, "prtee_for_discharge": 20, "test_lift_pain": 2,
    "clear_days_for_return": 14, "clear_days_for_discharge": 28,
    "pain_drop": 2.3, "review_weeks": 6, "re_examine_weeks": 12, "refer_weeks": 26,
    "youngest": 18, "oldest": 65,
    "high_pain": 7, "moderate_pain": 4, "high_nights": 3, "moderate_nights": 1,
    "high_prtee": 54, "moderate_prtee": 20,
    "fallback_holds": 10, "fallback_hold_s": 15, "prtee_rise": 0,
    "settled_for_return": 1, "return_steps": 21,
}
# fmt: on


def test_no_threshold_is_missing_from_the_printed_table():
    assert set(DEFAULTS) == set(PRINTED)


@pytest.mark.parametrize(("code", "value"), PRINTED.items())
def test_a_threshold_is_as_it_is_printed(code, value):
    assert DEFAULTS[code].value == value
