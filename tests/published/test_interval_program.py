"""The interval racket program against the printed table.

Myers 2016 Sports Health 8(6):536–540, doi:10.1177/1941738116657074, table 2.
"""

import pytest

from clinic.evidence import Status
from rehab.clinical import returning
from rehab.clinical.arm import ArmToday

# fmt: off
PRINTED = (
    # step, phase, ground strokes, %, serves, total, games; serves of steps 2–5 are second serves only
    ( 1, 1,  10,  50,   0,  10, None),
    ( 2, 1,  10,  50,   2,  12, None),
    ( 3, 1,  10,  50,   3,  13, None),
    ( 4, 1,  12,  50,   4,  16, None),
    ( 5, 1,  12,  50,   6,  18, None),
    ( 6, 2,  14,  60,   8,  22, 2),
    ( 7, 2,  18,  60,  10,  28, None),
    ( 8, 2,  22,  60,  12,  34, None),
    ( 9, 2,  26,  60,  14,  40, None),
    (10, 2,  28,  60,  16,  44, 4),
    (11, 3,  28,  80,  16,  44, 4),
    (12, 3,  42,  80,  24,  66, 6),
    (13, 3,  56,  80,  32,  88, 8),
    (14, 3,  42,  90,  24,  66, 6),
    (15, 3,  56,  90,  32,  88, 8),
    (16, 3,  84,  90,  48, 132, 10),
    (17, 3, 112,  90,  64, 176, 12),
    (18, 3,  56, 100,  32,  88, 8),
    (19, 3, 168, 100,  96, 264, 14),
    (20, 3, 224, 100, 128, 352, 16),
)
# fmt: on


@pytest.mark.parametrize("printed", PRINTED, ids=lambda row: f"step {row[0]}")
def test_a_step_is_as_it_is_printed(printed):
    number, _phase, strokes, percent, serves, total, games = printed
    step = returning.INTERVAL_STEPS[number - 1]

    found = (step.number, step.ground_strokes, step.stroke_percent, step.serves, step.games)
    assert found == (number, strokes, percent, serves, games)
    assert step.ground_strokes + step.serves == total


def test_the_last_step_is_a_simulated_match():
    last = returning.INTERVAL_STEPS[-1]

    assert (last.number, last.simulated_match) == (21, True)
    assert (last.ground_strokes, last.serves, last.games) == (0, 0, None)


def test_one_rests_90_seconds_after_two_games():
    assert (returning.REST_AFTER_TWO_GAMES_S, returning.STATUS) == (90, Status.PUBLISHED)


def test_a_plan_without_a_count_of_its_own_has_the_21_printed_steps():
    assert ArmToday.__dataclass_fields__["return_steps_asked"].default == 21
