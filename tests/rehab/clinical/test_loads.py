"""Load arithmetic at its edges."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rehab.clinical import loads
from rehab.clinical.thresholds import in_force

KG = st.integers(1, 400).map(lambda tenths: tenths / 10)
TOO_LIGHT = "Go down to 0.5 kg: the nearest lighter weight takes off more than usual."
STEP = st.sampled_from([0.05, 0.1, 0.2, 0.25, 0.5, 1.0, 2.5])


def test_no_repetition_is_an_error():
    with pytest.raises(ValueError, match="at least 1"):
        loads.repetition_maxima(2.0, 0)


def test_no_load_is_an_error():
    with pytest.raises(ValueError, match="above 0"):
        loads.repetition_maxima(0, 5)


def test_one_repetition_is_the_maximum_itself():
    assert {row.kg for row in loads.repetition_maxima(2.0, 1)} == {2.0}


@pytest.mark.parametrize(("name", "last"), [("Brzycki", 36), ("Lander", 37)])
def test_an_equation_ends_where_its_denominator_does(name, last):
    (equation,) = (row for row in loads.EQUATIONS if row.name == name)
    assert loads.repetition_maximum_kg(equation, 2.0, last) > 2.0
    with pytest.raises(ValueError, match="undefined"):
        loads.repetition_maximum_kg(equation, 2.0, last + 1)


def test_an_undefined_equation_keeps_its_place_without_a_value():
    empty = [row.name for row in loads.repetition_maxima(2.0, 37) if row.kg is None]
    assert empty == ["Brzycki"]


@pytest.mark.parametrize(
    ("repetitions", "allowed"),
    [(10, 7), (11, 3)],
)
def test_linear_equations_are_read_up_to_ten_repetitions(repetitions, allowed):
    found = loads.repetition_maxima(2.0, repetitions)
    assert sum(row.within_limits for row in found) == allowed


def test_the_chart_does_not_guess_between_its_rows():
    with pytest.raises(ValueError, match="13"):
        loads.chart_percent(13)


@pytest.mark.parametrize(("sex", "week"), [("female", 0), ("male", 14), ("unknown", 1)])
def test_petersons_line_has_an_end(sex, week):
    with pytest.raises(ValueError, match=r"week|sex"):
        loads.peterson_load_kg(sex, week)


@given(load_kg=KG, step_kg=STEP)
def test_the_next_load_is_never_over_ten_percent_or_a_tenth_of_a_kilogram(load_kg, step_kg):
    after = loads.next_load_kg(load_kg, smallest_step_kg=step_kg)
    added = round(after.load_kg - load_kg, 6)
    assert 0 <= added <= max(round(load_kg * 0.1, 6), 0.1)
    assert after.changed == (added > 0)


@given(load_kg=KG, step_kg=STEP)
def test_the_next_load_is_made_of_whole_owned_steps(load_kg, step_kg):
    added = loads.next_load_kg(load_kg, smallest_step_kg=step_kg).load_kg - load_kg
    assert round(added / step_kg, 6) == round(added / step_kg)


def test_a_step_below_two_percent_is_not_worth_making():
    assert loads.next_load_kg(12.0, smallest_step_kg=0.1).load_kg == 12.3


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"repetitions": 15}, "work up to 20 repetitions first."),
        ({"repetitions": 19}, "work up to 20 repetitions first."),
        (
            {"repetitions": 20},
            "add water (100 ml is 0.1 kg) or a small plate, or shorten the lever.",
        ),
        ({"hold_s": 30}, "hold 35 s, not 30 s, first."),
    ],
)
def test_equipment_without_a_small_step_has_a_way_round(asked, words):
    answer = loads.next_load_kg(1.0, smallest_step_kg=0.5, **asked)
    assert str(answer.words) == f"The next weight would be too big a step: {words}"


def test_a_clinic_may_allow_less_than_ten_percent():
    limits = in_force({"load_step_most": 5})
    assert loads.next_load_kg(4.0, smallest_step_kg=0.25, limits=limits).changed is False


@pytest.mark.parametrize(
    ("change", "load_kg", "step_kg"),
    [
        (loads.next_load_kg, -0.1, 0.1),
        (loads.next_load_kg, 1.0, 0),
        (loads.reduced_load_kg, 0, 0.1),
        (loads.reduced_load_kg, 1.0, 0),
        (loads.stepped_down_kg, 0, 0.1),
        (loads.stepped_down_kg, 1.0, 0),
    ],
)
def test_a_change_of_load_needs_a_load_and_a_step(change, load_kg, step_kg):
    with pytest.raises(ValueError, match="above 0"):
        change(load_kg, smallest_step_kg=step_kg)


@pytest.mark.parametrize(
    ("load_kg", "step_kg", "last_settled_kg", "expected_kg", "words"),
    [
        (2.0, 0.1, None, 1.8, "Go down to 1.8 kg."),
        (2.0, 0.1, 1.9, 1.9, "Go back to 1.9 kg, the last load that settled."),
        (2.0, 0.1, 2.0, 1.8, "Go down to 1.8 kg."),
        (1.0, 0.5, None, 0.5, TOO_LIGHT),
        (0.5, 0.5, None, 0, "Go on without a weight."),
    ],
)  # fmt: skip
def test_too_much_is_answered_with_less(load_kg, step_kg, last_settled_kg, expected_kg, words):
    found = loads.reduced_load_kg(
        load_kg, smallest_step_kg=step_kg, last_settled_kg=last_settled_kg
    )
    assert (found.load_kg, str(found.words)) == (expected_kg, words)


@given(load_kg=KG, step_kg=STEP)
def test_a_reduction_takes_off_at_least_ten_percent(load_kg, step_kg):
    after = loads.reduced_load_kg(load_kg, smallest_step_kg=step_kg).load_kg
    assert 0 <= after <= round(load_kg * 0.9, 6)


def test_one_step_down_is_one_owned_step():
    assert loads.stepped_down_kg(1.3, smallest_step_kg=0.1).load_kg == 1.2


def test_volume_load_is_a_product():
    assert loads.volume_load_kg(3, 15, 1.2) == pytest.approx(54)


def test_negative_work_is_an_error():
    with pytest.raises(ValueError, match="below 0"):
        loads.volume_load_kg(3, -1, 1.2)
    with pytest.raises(ValueError, match="below 0"):
        loads.time_under_tension_s(3, 15, up_s=-1)
