"""Load arithmetic against the printed values."""

import pytest

from rehab.clinical import loads
from rehab.clinical.loads import EQUATIONS, PERCENT_CHART

NAMES = ("Epley", "Brzycki", "Lombardi", "Mayhew", "O'Conner", "Wathen", "Lander")
BY_NAME = {row.name: row for row in EQUATIONS}


# Epley 1985, Brzycki 1993, Lombardi 1989, Mayhew 1992, O'Conner 1989, Wathen 1994, Lander 1985.
# Computed from the published formulas, for 2.0 kg.
@pytest.mark.parametrize(
    ("repetitions", "expected_kg"),
    [
        (5, (2.333, 2.250, 2.349, 2.380, 2.250, 2.332, 2.274)),
        (10, (2.667, 2.667, 2.518, 2.619, 2.500, 2.695, 2.681)),
        (15, (3.000, 3.273, 2.622, 2.834, 2.750, 3.018, 3.266)),
    ],
)
def test_two_kilograms_give_the_computed_maxima(repetitions, expected_kg):
    found = loads.repetition_maxima(2.0, repetitions)
    assert tuple(row.name for row in found) == NAMES
    assert tuple(row.kg for row in found) == pytest.approx(expected_kg, abs=0.0005)


# Columns in the order of NAMES, in % of the maximum; computed from the published formulas.
# The second column is the NSCA chart (read on copies; 15 from memory).
CHART = [
    (1, 100, (96.8, 100.0, 100.0, 91.9, 97.6, 98.7, 98.6)),
    (2, 95, (93.8, 97.2, 93.3, 89.7, 95.2, 95.1, 96.0)),
    (3, 93, (90.9, 94.4, 89.6, 87.7, 93.0, 91.8, 93.3)),
    (4, 90, (88.2, 91.7, 87.1, 85.8, 90.9, 88.7, 90.6)),
    (5, 87, (85.7, 88.9, 85.1, 84.0, 88.9, 85.8, 87.9)),
    (6, 85, (83.3, 86.1, 83.6, 82.3, 87.0, 83.1, 85.3)),
    (7, 83, (81.1, 83.3, 82.3, 80.7, 85.1, 80.6, 82.6)),
    (8, 80, (78.9, 80.6, 81.2, 79.2, 83.3, 78.3, 79.9)),
    (9, 77, (76.9, 77.8, 80.3, 77.7, 81.6, 76.2, 77.3)),
    (10, 75, (75.0, 75.0, 79.4, 76.4, 80.0, 74.2, 74.6)),
    (11, 73, (73.2, 72.2, 78.7, 75.1, 78.4, 72.4, 71.9)),
    (12, 70, (71.4, 69.4, 78.0, 73.9, 76.9, 70.7, 69.2)),
    (15, 65, (66.7, 61.1, 76.3, 70.6, 72.7, 66.3, 61.2)),
]


@pytest.mark.parametrize(("repetitions", "chart", "expected"), CHART)
def test_each_equation_implies_the_computed_percentage(repetitions, chart, expected):
    assert loads.chart_percent(repetitions).value == chart
    found = tuple(100 / row.per_kg(repetitions) for row in EQUATIONS)
    assert found == pytest.approx(expected, abs=0.051)


def off_chart(name, repetitions):
    """How many points an equation lies above the chart."""
    return 100 / BY_NAME[name].per_kg(repetitions) - PERCENT_CHART[repetitions]


# Epley 1985 and Brzycki 1993 cross where 1 + r/30 = 36/(37 − r); computed.
def test_epley_and_brzycki_agree_at_ten():
    epley, brzycki = BY_NAME["Epley"], BY_NAME["Brzycki"]
    assert epley.per_kg(10) == pytest.approx(brzycki.per_kg(10), rel=1e-12)


# Computed from the published formulas against the NSCA chart.
@pytest.mark.parametrize("name", ["Epley", "Brzycki", "Wathen", "Lander"])
def test_four_equations_lie_within_two_and_a_half_points_of_the_chart(name):
    far = [r for r in range(2, 13) if abs(off_chart(name, r)) > 2.5]
    assert far == []


# Computed from the published formulas against the NSCA chart.
@pytest.mark.parametrize(
    ("name", "repetitions", "least", "most"),
    [
        ("Lombardi", 10, 4, 5),
        ("O'Conner", 10, 4, 5.5),
        ("Mayhew", 12, 3, 4),
        ("Mayhew", 15, 3, 6),
        ("Mayhew", 1, -8.5, -8),
    ],
)
def test_the_other_three_leave_the_chart_as_computed(name, repetitions, least, most):
    assert least < off_chart(name, repetitions) < most


# Peterson 2011: 1 kg women, 2 kg men, 0.1 kg more each week; the line is computed from that rule.
@pytest.mark.parametrize(
    ("week", "female_kg", "male_kg"),
    [
        (1, 1.0, 2.0), (2, 1.1, 2.1), (4, 1.3, 2.3), (6, 1.5, 2.5),
        (8, 1.7, 2.7), (10, 1.9, 2.9), (12, 2.1, 3.1), (13, 2.2, 3.2),
    ],
)  # fmt: skip
def test_petersons_line(week, female_kg, male_kg):
    found = (loads.peterson_load_kg("female", week), loads.peterson_load_kg("male", week))
    assert found == (female_kg, male_kg)


# Computed: sets × repetitions × seconds a repetition. The formula itself is from memory.
@pytest.mark.parametrize(
    ("sets", "repetitions", "seconds", "expected_s"),
    [
        (3, 15, {"up_s": 3, "down_s": 3}, 270),
        (4, 6, {"up_s": 3, "down_s": 3}, 144),
        (3, 15, {"down_s": 4}, 180),
        (3, 15, {"down_s": 30}, 1350),
        (5, 1, {"hold_s": 45}, 225),
    ],
)
def test_time_under_tension(sets, repetitions, seconds, expected_s):
    assert loads.time_under_tension_s(sets, repetitions, **seconds) == expected_s


# ACSM 2009 and Peterson 2011 for the step; computed: 0.5 kg is 50 % at 1 kg and 25 % at 2 kg.
@pytest.mark.parametrize(
    ("load_kg", "smallest_step_kg", "next_kg"),
    [(1.0, 0.1, 1.1), (2.0, 0.1, 2.1), (1.0, 0.5, 1.0), (2.0, 0.5, 2.0), (5.0, 0.5, 5.5)],
)
def test_ordinary_dumbbells_are_too_coarse_for_a_wrist(load_kg, smallest_step_kg, next_kg):
    assert loads.next_load_kg(load_kg, smallest_step_kg=smallest_step_kg).load_kg == next_kg
