import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.clinical.change import Better, ImportantChange, compare
from clinic.evidence import Figure, Status

values = st.floats(min_value=0, max_value=100)


def figure(value, unit="points"):
    return Figure(value=value, unit=unit, source="made up", status=Status.CLINIC_SETTING)


def important(name, value, unit="points"):
    return ImportantChange(
        name=name, figure=figure(value, unit), population="", method="", horizon=""
    )


def pain(before, after, **changes):
    """Pain falling is better; error 2 points, important 2 points or 30 %, but for `changes`."""
    rows = (important("points", 2), important("percent", 30, "%"))
    usual = {"unit": "points", "better": Better.DOWN, "error": figure(2), "important": rows}
    return compare(before, after, **(usual | changes))


@given(values, values)
def test_amount_and_improvement_differ_only_in_direction(before, after):
    down, up = pain(before, after), pain(before, after, better=Better.UP)

    assert (down.amount, down.improvement) == (up.amount, -up.improvement)


@given(values, values)
def test_the_way_back_is_as_long(before, after):
    assert pain(before, after).amount == -pain(after, before).amount


@pytest.mark.parametrize(
    ("after", "at_error_counts", "beyond"),
    [(8, False, False), (8, True, True), (7.9, False, True), (8.1, True, False)],
)
def test_a_change_equal_to_the_error_counts_only_where_the_source_says_so(
    after, at_error_counts, beyond
):
    assert pain(10, after, at_error_counts=at_error_counts).beyond_error is beyond


@pytest.mark.parametrize(
    ("before", "after", "met"),
    [(10, 8, (True, False)), (10, 7, (True, True)), (3, 2, (False, True)), (5, 5, (False, False))],
)
def test_each_figure_is_reached_or_not_by_itself(before, after, met):
    assert tuple(row.met for row in pain(before, after).important) == met


def test_a_percentage_of_nothing_is_not_worked_out():
    change = pain(0, 4)

    assert change.percent is None
    assert [row.met for row in change.important] == [False, None]


def test_getting_worse_never_reaches_an_important_change():
    assert pain(2, 9).reached == ()


def test_percent_follows_the_direction_of_the_measure():
    assert [row.met for row in pain(10, 14, better=Better.UP).important] == [True, True]


@pytest.mark.parametrize(
    ("after", "error", "sentence"),
    [
        (7, figure(2), "Better by 3 points, more than the measurement error of 2 points."),
        (9, figure(2), "Better by 1 point, within the measurement error of 2 points."),
        (7, None, "Better by 3 points; no published measurement error fits this comparison."),
        (13, figure(2), "Worse by 3 points, more than the measurement error of 2 points."),
        (11, figure(2), "Worse by 1 point, within the measurement error of 2 points."),
        (13, None, "Worse by 3 points; no published measurement error fits this comparison."),
        (10, figure(2), "No change."),
        (10, None, "No change."),
    ],
)
def test_the_sentence_says_direction_and_error_and_nothing_more(after, error, sentence):
    assert str(pain(10, after, error=error).sentence) == sentence


@pytest.mark.parametrize(
    ("after", "error", "sentence"),
    [
        (1.25, None, "Better by 0.25; no published measurement error fits this comparison."),
        (1.25, 0.2, "Better by 0.25, more than the measurement error of 0.2."),
        (0.75, 0.3, "Worse by 0.25, within the measurement error of 0.3."),
    ],
)
def test_a_ratio_has_a_sentence_without_a_unit(after, error, sentence):
    change = compare(1, after, unit="", better=Better.UP, error=error and figure(error, ""))

    assert str(change.sentence) == sentence


@pytest.mark.parametrize(
    ("after", "amount", "place"),
    [(192.0, "92", "within"), (192.04, "92.04", "more than"), (191.996, "91.996", "within")],
)
def test_a_size_is_written_so_that_it_differs_from_an_error_it_is_not_equal_to(
    after, amount, place
):
    change = compare(100, after, unit="N", better=Better.UP, error=figure(92, "N"))

    assert str(change.sentence) == f"Better by {amount} N, {place} the measurement error of 92 N."


@pytest.mark.parametrize("broken", [float("nan"), float("inf")])
def test_numbers_that_are_not_finite_are_refused(broken):
    with pytest.raises(ValueError, match="can't compare"):
        pain(broken, 1)
