import math
from dataclasses import replace
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.clinical.force import Unit, to_newtons
from assessments.clinical.reference_values import (
    DOUBTS,
    MASSY_WESTROPP,
    MATHIOWETZ,
    REFERENCES,
    Sex,
    standing,
)
from cases.clinical.sides import Side
from cases.models import Patient
from clinic.evidence import Status

THIRTY_KG = to_newtons(30, Unit.KGF)
sexes = st.sampled_from([Sex.MALE, Sex.FEMALE])
references = st.sampled_from(REFERENCES)


def stands(force_n=THIRTY_KG, reference=MASSY_WESTROPP, **changes):
    """A man of 37, right hand, 30 kg, but for `changes`."""
    usual = {"sex": Sex.MALE, "age": 37, "side": Side.RIGHT}
    return standing(force_n, reference, **(usual | changes))


def test_a_patients_sex_is_stored_in_the_words_of_the_tables():
    assert {sex.value for sex in Sex} == set(Patient.Sex.values)


@pytest.mark.parametrize("reference", REFERENCES, ids=lambda reference: reference.key)
def test_a_table_says_where_it_is_from_and_how_it_was_read(reference):
    said = (reference.source, reference.read, reference.population, reference.protocol)

    assert all(said)
    assert (reference.status, bool(reference.licence)) == (Status.SECOND_HAND, True)


@given(references, sexes, st.sampled_from(Side), st.integers(20, 110))
def test_every_age_from_20_on_has_exactly_one_cell(reference, sex, side, age):
    found = [cell for cell in reference.cells if (cell.sex, cell.side) == (sex, side)]

    assert [cell for cell in found if cell.holds(age)] == [
        reference.cell(sex=sex, age=age, side=side)
    ]


@pytest.mark.parametrize(
    ("age", "ages"), [(29, "20–29"), (30, "30–39"), (69, "60–69"), (70, "70+")]
)
def test_an_age_group_ends_where_the_next_begins(age, ages):
    assert stands(age=age).cell.ages == ages


@pytest.mark.parametrize("reference", REFERENCES, ids=lambda reference: reference.key)
def test_a_printed_range_holds_its_mean_and_ends_on_both_sides(reference):
    wrong = [c for c in reference.cells if c.low is not None and not c.low < c.mean < c.high]

    assert wrong == []


@given(references, sexes, st.integers(20, 90), st.floats(0, 1000))
def test_a_standing_is_the_distance_from_the_mean_in_spreads(reference, sex, age, force_n):
    found = standing(force_n, reference, sex=sex, age=age, side=Side.RIGHT)

    assert found.expected_n + found.z * found.sd_n == pytest.approx(force_n)
    assert found.percentile == pytest.approx(100 * NormalDist().cdf(found.z))
    assert (found.why_not, found.doubt) == (None, None)


def test_the_mean_itself_stands_in_the_middle():
    found = stands(to_newtons(47, Unit.KGF))

    assert (found.z, found.percentile) == (pytest.approx(0, abs=1e-9), pytest.approx(50))


@pytest.mark.parametrize(
    ("kg", "changes", "sentence"),
    [
        (
            30,
            {},
            "1.75 standard deviations below the mean of men of 30–39, right hand (Massy-Westropp "
            "2011). If strengths are normally spread, about 4 of 100 such men are weaker.",
        ),
        (
            30,
            {"reference": MATHIOWETZ},
            "2.23 standard deviations below the mean of men of 35–39, right hand (Mathiowetz 1985). "
            "If strengths are normally spread, about 1 of 100 such men are weaker.",
        ),
        (
            24,
            {"sex": Sex.FEMALE, "age": 81, "side": Side.LEFT},
            "0.91 standard deviations above the mean of women of 70+, left hand (Massy-Westropp "
            "2011). If strengths are normally spread, about 82 of 100 such women are weaker.",
        ),
        (
            15,
            {},
            "3.30 standard deviations below the mean of men of 30–39, right hand (Massy-Westropp "
            "2011). If strengths are normally spread, fewer than 1 of 100 such men are weaker.",
        ),
        (
            80,
            {},
            "3.40 standard deviations above the mean of men of 30–39, right hand (Massy-Westropp "
            "2011). If strengths are normally spread, more than 99 of 100 such men are weaker.",
        ),
    ],
)
def test_the_sentence_names_the_table_and_what_it_takes_for_granted(kg, changes, sentence):
    assert str(stands(to_newtons(kg, Unit.KGF), **changes).sentence) == sentence


def test_a_value_from_a_doubtful_cell_carries_the_doubt():
    found = stands(reference=MATHIOWETZ, age=27, side=Side.LEFT)

    assert found.z == pytest.approx((30 / 0.45359237 - 110.5) / 16.2)
    assert found.doubt == DOUBTS["sd_or_se_misprinted"]
    assert str(found.sentence).endswith(found.doubt)
    assert found.figure.limits.endswith(found.doubt)


def test_a_cell_without_a_settled_spread_has_a_mean_and_no_standing():
    found = stands(age=25, side=Side.LEFT)

    assert found.expected_n == pytest.approx(to_newtons(45, Unit.KGF))
    assert (found.sd_n, found.z, found.percentile) == (None, None, None)
    assert str(found.why_not) == (
        "Massy-Westropp 2011 can't say how far from the mean this is. The spread of this cell is not "
        "settled: 9.7 kg in the copy that was read, 8.8 kg from memory."
    )
    assert found.sentence == found.why_not


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"age": 19}, "Massy-Westropp 2011 begins at 20 years."),
        (
            {"sex": Sex.UNSTATED},
            "Massy-Westropp 2011 is printed for women and men, and the patient's sex for reference "
            "values is not stated.",
        ),
    ],
)
def test_a_person_whom_the_table_does_not_hold_gets_the_reason(changes, reason):
    found = stands(**changes)

    assert (str(found.why_not), found.sentence) == (reason, found.why_not)
    assert (found.cell, found.z, found.figure, found.doubt) == (None, None, None, None)


def test_the_mean_is_a_figure_with_source_status_and_limits():
    figure = stands(reference=MATHIOWETZ).figure

    assert str(figure) == "532.452 N"
    assert (figure.source, figure.status) == (MATHIOWETZ.source, Status.SECOND_HAND)
    assert "Milwaukee" in figure.limits


@pytest.mark.parametrize(
    ("changes", "message"),
    [({"doubt": "smudged"}, "no sentence for smudged"), ({"sd": None}, "no spread and no reason")],
)
def test_a_cell_is_refused_that_could_be_used_silently(changes, message):
    with pytest.raises(ValueError, match=message):
        replace(MATHIOWETZ.cells[0], **changes)


@pytest.mark.parametrize("force_n", [-1, math.nan, math.inf])
def test_a_force_that_is_none_is_refused(force_n):
    with pytest.raises(ValueError, match="is not a force"):
        stands(force_n)


def test_an_age_below_nothing_is_refused():
    with pytest.raises(ValueError, match="is not an age"):
        stands(age=-1)
