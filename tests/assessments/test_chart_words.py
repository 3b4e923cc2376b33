"""What charts say in words."""

import datetime

import pytest

from assessments.chart_words import change_of, figure_of, figures_of, slope_of, value_of
from assessments.clinical.force import Unit
from assessments.clinical.measures import BY_KEY
from assessments.clinical.trend import trend
from assessments.lines import Line, Point

START = datetime.date(2026, 3, 2)


def line(key: str, *values: float) -> Line:
    """A line of weekly values, the newest one today's."""
    points = tuple(
        Point(on=START + datetime.timedelta(weeks=n), value=value, trials=3)
        for n, value in enumerate(values)
    )
    return Line(measure=BY_KEY[key], points=points, today=points[-1])


@pytest.mark.parametrize(
    ("key", "values", "said"),
    [
        ("pain_on_gripping", (6, 2), "better by 4, beyond error (1.4)"),
        ("pain_on_gripping", (2, 3), "worse by 1, within error (1.4)"),
        ("pain_on_gripping", (4, 4), "no change"),
        ("grip_pain_free", (120, 213), "better by 93 N, beyond error (92)"),
        ("grip_ratio", (0.4, 0.62), "better by 0.22; no published error fits"),
        ("grip_ratio", (0.62, 0.4), "worse by 0.22; no published error fits"),
        ("global_rating", (3,), "better by 3, beyond error (0.45)"),
        ("prtee", (49,), "one value: nothing to compare yet"),
        ("time_off_work", (5, 2), "not compared: the periods differ in length"),
    ],
)
def test_a_change_is_said_toward_better_or_worse_and_against_its_error(key, values, said):
    assert change_of(line(key, *values)) == said


# 1 kgf is 9.80665 N and 1 lb is 0.45359237 kg, both exact by definition: the error of 92 N is 9.38 kg.
@pytest.mark.parametrize(
    ("dial", "said"),
    [
        (Unit.N, "better by 93 N, beyond error (92)"),
        (Unit.KGF, "better by 9.5 kg, beyond error (9.38)"),
        (Unit.LBF, "better by 20.9 lb, beyond error (20.68)"),
    ],
)
def test_a_force_and_its_error_are_said_as_the_dial_shows_them(dial, said):
    assert change_of(line("grip_pain_free", 120, 213), dial=dial) == said


def test_the_dial_changes_nothing_but_forces():
    pain = line("pain_on_gripping", 6, 2)

    assert change_of(pain, dial=Unit.KGF) == change_of(pain)
    assert figure_of(0.625, line("grip_ratio", 0.625), dial=Unit.KGF) == "0.63"


def test_a_value_has_the_unit_of_the_dial():
    grip = line("grip_pain_free", 98.0665)

    assert (value_of(98.0665, grip), value_of(98.0665, grip, dial=Unit.KGF)) == ("98 N", "10 kg")


@pytest.mark.parametrize(
    ("key", "values", "said"),
    [
        ("grip_pain_free", (120, 213), "213 N, start 120"),
        ("grip_ratio", (0.4, 0.625), "0.63, start 0.40"),
        ("prtee", (49,), "49"),
        ("global_rating", (1, 3), "3"),
    ],
)
def test_the_newest_value_stands_first(key, values, said):
    assert figures_of(line(key, *values)) == said


@pytest.mark.parametrize(
    ("key", "values", "said"),
    [
        ("pain_on_gripping", (8, 7, 6, 5), "1 point a week better (1 to 1)"),
        ("pain_on_gripping", (5, 6, 6, 7), "0.6 points a week worse (0 to 1)"),
        ("pain_on_gripping", (4, 4, 4, 4), "0 points a week better (0 to 0)"),
        ("grip_pain_free", (100, 120, 140, 160), "20.0 N a week better (20.0 to 20.0)"),
        ("prtee", (50, 49.98, 49.95, 49.9), "0.03 points a week better (0.02 to 0.05)"),
    ],
)
def test_a_slope_is_said_a_week_with_its_limits(key, values, said):
    shown = line(key, *values)

    assert slope_of(trend((point.on, point.value) for point in shown.points), shown) == said
