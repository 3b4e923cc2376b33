"""The equations, the chart and the sizes of a load step, against the print and at their edges.

Epley 1985, Brzycki 1993, Lombardi 1989, Mayhew 1992, O'Conner 1989, Wathen 1994, Lander 1985 (read in
lists of equations); Reynolds 2006 J Strength Cond Res 20:584; the NSCA chart (15 repetitions from
memory); ACSM 2009, doi:10.1249/MSS.0b013e3181915670; Peterson 2011, doi:10.3109/03009734.2011.600476;
heavy slow resistance, read second-hand. How much is taken off after a session that was too much is common
practice without a source.
"""

import pytest

from clinic.evidence import Status
from rehab.clinical import loads
from rehab.clinical.dose import Dose

from .printed import numbers

# fmt: off
EQUATIONS = (
    # name, year, constants as printed, linear, undefined from, maximum per kg lifted ten times (computed)
    ("Epley",    1985, (1, 30),                     True,  None, 1.333333333),
    ("Brzycki",  1993, (36, 37),                    True,  37,   1.333333333),
    ("Lombardi", 1989, (0.10,),                     False, None, 1.258925412),
    ("Mayhew",   1992, (100, 52.2, 41.9, 0.055),    False, None, 1.309342734),
    ("O'Conner", 1989, (1, 0.025),                  True,  None, 1.250000000),
    ("Wathen",   1994, (100, 48.8, 53.8, 0.075),    False, None, 1.347466995),
    ("Lander",   1985, (100, 101.3, 2.67123),       True,  38,   1.340703628),
)
HEAVY_SLOW = [
    # first week, last week, sets, repetition maximum
    (1, 1, 3, 15), (2, 3, 3, 12), (4, 5, 4, 10), (6, 8, 4, 8), (9, 12, 4, 6),
]
# fmt: on


@pytest.mark.parametrize("printed", EQUATIONS, ids=lambda row: row[0])
def test_an_equation_is_as_it_is_printed(printed):
    (row,) = (row for row in loads.EQUATIONS if row.name == printed[0])
    found = (row.name, row.year, numbers(row.formula), row.linear, row.undefined_from)

    assert found == printed[:5]
    assert row.per_kg(10) == pytest.approx(printed[5], abs=5e-10)


def test_a_linear_equation_is_read_up_to_ten_repetitions():
    # Reynolds 2006.
    assert (loads.LINEAR_LIMIT.value, loads.LINEAR_LIMIT.status) == (10, Status.PUBLISHED)


def test_only_the_chart_at_fifteen_is_from_memory():
    memory = [
        n for n in loads.PERCENT_CHART if loads.chart_percent(n).status is not Status.SECOND_HAND
    ]

    assert memory == [15]
    assert loads.chart_percent(15).status is Status.FROM_MEMORY


def test_the_weeks_of_heavy_slow_resistance_are_the_printed_ones():
    rows = [(r.first_week, r.last_week, r.sets, r.repetition_maximum) for r in loads.HEAVY_SLOW]

    assert rows == HEAVY_SLOW


def test_petersons_program_lasts_three_months():
    assert loads.PETERSON_WEEKS == 13


@pytest.mark.parametrize(
    ("load_kg", "next_kg"),
    # ACSM 2009: at least 2 %. 0.1 kg is 2 % of 5 kg and less than 2 % of 5.05 kg.
    [(5.0, 5.1), (5.05, 5.25)],
)
def test_a_step_is_at_least_two_percent(load_kg, next_kg):
    assert loads.next_load_kg(load_kg, smallest_step_kg=0.1).load_kg == next_kg


@pytest.mark.parametrize(
    ("step_kg", "words"),
    # Common practice: 10–20 % less; 1 kg of 5 kg is 20 %.
    [
        (1.0, "Go down to 4 kg."),
        (1.01, "Go down to 3.99 kg: the nearest lighter weight takes off more than usual."),
    ],
)
def test_more_than_twenty_percent_off_is_said(step_kg, words):
    assert str(loads.reduced_load_kg(5.0, smallest_step_kg=step_kg).words) == words


def test_water_is_weighed_as_it_is_printed():
    # Peterson 2011: 100 ml of water are 0.1 kg.
    words = loads.next_load_kg(1.0, smallest_step_kg=0.5, repetitions=20).words

    assert numbers(str(words)) == (100, 0.1)


@pytest.mark.parametrize(
    ("dose", "seconds"),
    # Sets × repetitions × seconds (from memory), computed: twist bar, holds, slow lifting.
    [
        (Dose(sets=3, repetitions=15, down_s=4), 180),
        (Dose(sets=5, hold_s=45), 225),
        (Dose(sets=3, repetitions=15, up_s=3, down_s=3), 270),
        (Dose(sets=4, repetitions=6, up_s=3, down_s=3), 144),
    ],
)
def test_a_dose_counts_no_second_that_it_does_not_name(dose, seconds):
    assert dose.time_under_tension_s() == seconds
