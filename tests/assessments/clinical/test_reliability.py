import math
import warnings

import pandas
import pingouin
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats

from assessments.clinical.reliability import Estimate, MeanSquares, mdc95

FORMS = ("icc_2_1", "icc_3_1")


def tables(readings, *, subjects=6):
    """Tables of 2 to `subjects` rows and 2 to 4 columns."""
    return st.integers(2, 4).flatmap(
        lambda trials: st.lists(st.tuples(*[readings] * trials), min_size=2, max_size=subjects)
    )


# Whole numbers from a short range bring ties within and between the rows.
scores = tables(st.integers(0, 4))


def second_opinion(table):
    """Both forms as pingouin has them: value, low, high."""
    cells = [(s, t, float(v)) for s, row in enumerate(table) for t, v in enumerate(row)]
    data = pandas.DataFrame(cells, columns=["subject", "trial", "force"])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of pandas, about pingouin's own calls; divisions by 0
        found = pingouin.intraclass_corr(data, targets="subject", raters="trial", ratings="force")
    of_form = {row.Type: (row.ICC, *row.CI95) for row in found.itertuples()}
    return [of_form[name] for name in ("ICC(A,1)", "ICC(C,1)")]


def agrees(found, theirs):
    value, low, high = theirs
    assert found.value == pytest.approx(value, abs=1e-7)
    # It rounds its limits to two decimals.
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.00501, rel=1e-6)


@given(scores)
@settings(max_examples=20)
def test_both_forms_and_their_intervals_are_pingouins(table):
    squares = MeanSquares.of(table)
    assume(min(squares.error_ms, squares.subjects_ms) > 0)
    assume(squares.subjects * squares.trials >= 5)
    ours = [getattr(squares, form) for form in FORMS]
    # Pingouin goes on where a denominator is not above 0; here such a form has no value.
    both = [
        (mine, theirs) for mine, theirs in zip(ours, second_opinion(table), strict=True) if mine
    ]

    assert both
    for mine, theirs in both:
        agrees(mine, theirs)


@given(scores)
def test_the_order_of_subjects_and_trials_does_not_matter(table):
    turned = [row[::-1] for row in reversed(table)]

    assert MeanSquares.of(turned) == MeanSquares.of(table)


@given(scores, st.integers(-50, 50), st.sampled_from([0.5, 2, 9.80665]))
def test_a_shift_changes_nothing_and_a_unit_only_the_error(table, shift, factor):
    here = MeanSquares.of(table)
    there = MeanSquares.of([tuple(factor * (value + shift) for value in row) for row in table])

    assert there.sem.value == pytest.approx(factor * here.sem.value, abs=1e-9)
    assert there.trials_ms == pytest.approx(factor**2 * here.trials_ms, abs=1e-9)


@given(scores)
def test_an_interval_holds_its_value(table):
    squares = MeanSquares.of(table)
    for estimate in (squares.icc_3_1, squares.sem, squares.mdc95):
        if estimate and estimate.low is not None:
            assert estimate.low - 1e-12 <= estimate.value <= estimate.high + 1e-12


@given(st.floats(0.1, 100), st.integers(2, 60), st.integers(2, 4))
def test_the_interval_of_the_error_is_that_of_chi_square(error_ms, subjects, trials):
    squares = MeanSquares(
        subjects=subjects, trials=trials, subjects_ms=1, trials_ms=1, error_ms=error_ms
    )
    df = (subjects - 1) * (trials - 1)
    limits = [math.sqrt(error_ms * df / stats.chi2.ppf(share, df)) for share in (0.975, 0.025)]

    assert [squares.sem.low, squares.sem.high] == pytest.approx(limits)
    assert squares.mdc95.high == pytest.approx(1.96 * math.sqrt(2) * limits[1])


def test_equal_readings_everywhere_agree_about_nothing():
    squares = MeanSquares.of([(0.1, 0.1, 0.1)] * 3)

    assert [getattr(squares, form) for form in FORMS] == [None] * 2
    assert squares.sem == squares.mdc95 == Estimate(value=0)


def test_trials_that_repeat_exactly_agree_fully_and_leave_no_interval():
    squares = MeanSquares.of([(0.1, 0.1), (0.7, 0.7), (0.3, 0.3)])

    assert [getattr(squares, form) for form in FORMS] == [Estimate(value=1)] * 2


def test_a_shift_that_all_share_is_no_error_and_lowers_only_absolute_agreement():
    squares = MeanSquares.of([(100, 110), (200, 210), (300, 310)])

    assert (squares.icc_3_1, squares.sem) == (Estimate(value=1), Estimate(value=0))
    assert squares.icc_2_1.value == pytest.approx(0.995, abs=0.0001)


def test_an_agreement_below_chance_stays_negative():
    squares = MeanSquares.of([(1, 4), (2, 3), (4, 2)])

    assert squares.icc_3_1.value == pytest.approx(-0.9)


def test_an_agreement_has_no_value_where_its_denominator_is_not_above_nothing():
    squares = MeanSquares.of([(1, 4), (4, 1)])

    assert (squares.subjects_ms, squares.icc_2_1) == (0, None)
    assert squares.icc_3_1.value == -1


def test_equal_totals_everywhere_leave_absolute_agreement_without_limits():
    squares = MeanSquares.of([(1, 3), (3, 1), (2, 2)])

    assert (squares.subjects_ms, squares.trials_ms) == (0, 0)
    assert squares.icc_2_1 == Estimate(value=pytest.approx(-3))


def test_two_subjects_have_a_wide_interval_and_not_none():
    estimate = MeanSquares.of([(100, 104), (150, 149)]).icc_3_1

    assert estimate.low < 0.5 < 0.99 < estimate.value < estimate.high


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ([], "too few"),
        ([(1, 2)], "too few"),
        ([(1,), (2,)], "too few"),
        ([(1, 2), (3,)], "same number of trials"),
        ([(1, math.nan), (2, 3)], "finite"),
        ([(1, math.inf), (2, 3)], "finite"),
    ],
)
def test_a_table_of_another_shape_is_refused(table, message):
    with pytest.raises(ValueError, match=message):
        MeanSquares.of(table)


@pytest.mark.parametrize("sem", [-1, math.nan, math.inf])
def test_an_error_that_can_not_be_is_refused(sem):
    with pytest.raises(ValueError, match="is not 0 or more"):
        mdc95(sem)
