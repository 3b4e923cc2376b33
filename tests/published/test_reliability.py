"""Agreement of repeated trials, and the error that follows from it, against published values."""

import math

import pytest

from assessments.clinical.reliability import MeanSquares, mdc95

# Shrout & Fleiss 1979 Psychol Bull 86:420–8: 6 targets × 4 judges. Read second-hand.
RATINGS = (
    (9, 2, 5, 8),
    (6, 1, 3, 2),
    (8, 4, 6, 8),
    (7, 1, 2, 6),
    (10, 5, 6, 9),
    (6, 2, 4, 7),
)
SQUARES = MeanSquares.of(RATINGS)


def test_mean_squares_are_the_exact_fractions():
    # Computed; the same fractions are in public test suites.
    found = (SQUARES.subjects_ms, SQUARES.trials_ms, SQUARES.error_ms)

    assert found == (1349 / 120, 2339 / 72, 367 / 360)


@pytest.mark.parametrize(
    ("name", "printed", "exact"),
    # Printed: Shrout & Fleiss 1979, read second-hand. Fractions: computed.
    [
        ("icc_2_1", 0.29, 184 / 635),
        ("icc_3_1", 0.71, 920 / 1287),
    ],
)
def test_both_forms_are_the_printed_ones(name, printed, exact):
    value = getattr(SQUARES, name).value

    assert round(value, 2) == printed
    assert value == pytest.approx(exact, rel=1e-14)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    # Read second-hand, from what two libraries print for the data of Shrout & Fleiss 1979.
    [
        ("icc_2_1", 0.0188, 0.7611),
        ("icc_3_1", 0.3425, 0.9459),
    ],
)
def test_intervals_are_the_printed_ones(name, low, high):
    estimate = getattr(SQUARES, name)

    assert (estimate.low, estimate.high) == pytest.approx((low, high), abs=0.00006)


def test_three_readings_of_the_standard_error_differ_and_the_first_is_ours():
    # Computed from the same data.
    ms = SQUARES
    of_all = 2.7104

    assert round(ms.sem.value, 4) == 1.0097
    assert round(math.sqrt((ms.trials_ms - ms.error_ms) / ms.subjects + ms.error_ms), 4) == 2.5028
    assert of_all * math.sqrt(1 - ms.icc_2_1.value) == pytest.approx(2.2842, abs=0.00005)


@pytest.mark.parametrize(
    ("sd", "icc", "at_95"),
    # Computed from SEM = SD·√(1 − ICC), Weir 2005 J Strength Cond Res 19:231–40.
    [(10, 0.90, 8.7654), (8, 0.75, 11.0874), (12, 0.97, 5.7612)],
)
def test_a_least_change_follows_from_spread_and_agreement(sd, icc, at_95):
    assert mdc95(sd * math.sqrt(1 - icc)) == pytest.approx(at_95, abs=0.00006)


@pytest.mark.parametrize(
    ("sem", "printed", "at_95"),
    [
        # Patient-specific activities, Arabic version, n = 139: "MDC 1.73".
        (0.74, 1.73, 2.051),
        # J Hand Ther 2006;19:328, n = 46: MDC90 2.6, and in percent 10.4.
        (1.13, 2.6, 3.132),
        (4.5, 10.4, 12.473),
    ],
)
def test_published_pairs_reproduce_at_90_percent_and_not_at_95(sem, printed, at_95):
    assert mdc95(sem) == pytest.approx(at_95, abs=0.0006)
    # Papers round 1.645 up to 1.65 and some cut the last decimal off.
    assert printed == pytest.approx(1.65 * math.sqrt(2) * sem, rel=0.015)
    assert printed < 0.9 * mdc95(sem)


@pytest.mark.parametrize(
    ("mdc95_n", "sem_n"),
    # Hill et al. 2023 Physiother Theory Pract 39(5):1007–15, in newtons; standard errors computed.
    [
        (133, 48.0),
        (90, 32.5),
        (118, 42.6),
        (92, 33.2),
        (79, 28.5),
        (52, 18.8),
        (125, 45.1),
        (46, 16.6),
    ],
)
def test_the_errors_behind_the_published_grip_changes_are_the_computed_ones(mdc95_n, sem_n):
    assert mdc95_n / mdc95(1) == pytest.approx(sem_n, abs=0.05)


def test_the_pair_of_the_persian_questionnaire_does_not_reproduce():
    # Shafiee 2020, n = 90, prints 5.40 → 14.24, which wants 5.14; at 90 % 5.40 gives 12.56.
    assert round(mdc95(5.40), 2) == 14.97
    assert round(14.24 / mdc95(1), 2) == 5.14
