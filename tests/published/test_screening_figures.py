"""Screening and battery figures against the printed ones."""

import pytest

from cases.clinical.battery_tests import (
    FINGER_EXTENSION,
    PASSIVE_STRETCH,
    SENSITIVITY,
    SPECIFICITY,
    WRIST_EXTENSION,
)
from cases.clinical.screening_questions import (
    ELBOW_EXTENSION_COUNTS,
    ELBOW_EXTENSION_SENSITIVITY,
    ELBOW_EXTENSION_SPECIFICITY,
    INJECTION_FIGURES,
)


def test_elbow_extension_counts_add_up_to_the_printed_groups():
    # Appelboam 2008: 602 could straighten (17 fractures), 1138 could not (521 fractures).
    counts = ELBOW_EXTENSION_COUNTS

    assert counts["can straighten, fracture"] + counts["can straighten, no fracture"] == 602
    assert counts["can't straighten, fracture"] + counts["can't straighten, no fracture"] == 1138


def test_the_counts_give_the_sensitivity_and_miss_the_specificity_by_0_2_points():
    # Computed from the counts of Appelboam 2008: 0.96840 and 0.48669 (printed 48.5 %).
    counts = ELBOW_EXTENSION_COUNTS
    sensitivity = 100 * counts["can't straighten, fracture"] / (521 + 17)
    specificity = 100 * counts["can straighten, no fracture"] / (617 + 585)

    assert sensitivity == pytest.approx(ELBOW_EXTENSION_SENSITIVITY.value, abs=0.05)
    assert specificity - ELBOW_EXTENSION_SPECIFICITY.value == pytest.approx(0.169, abs=0.0005)
    assert "a gap of 0.2 points" in ELBOW_EXTENSION_SPECIFICITY.limits


def test_injection_outcomes_give_the_printed_risk_ratios():
    # Coombes et al. 2013 JAMA 309:461–9: 0.86 (steroid to placebo) and, turned over, 4.5; computed.
    values = [figure.value for figure in INJECTION_FIGURES]

    assert values[0] / values[1] == pytest.approx(0.86, abs=0.005)
    assert values[2] / values[3] == pytest.approx(4.5)


@pytest.mark.parametrize(
    ("test", "printed"),
    # Saroja 2014 doi 10.16965/ijpr.2014.699; Karanasios 2021 J Hand Ther 35(4):541–51 (91 %);
    # Factor 2023 doi 10.3390/medicina59061159 (no controls: sensitivity only).
    [
        (PASSIVE_STRETCH, [(SENSITIVITY, 53), (SPECIFICITY, 100), (SENSITIVITY, 86.7)]),
        (
            WRIST_EXTENSION,
            [(SENSITIVITY, 84), (SPECIFICITY, 0), (SENSITIVITY, 91), (SENSITIVITY, 96.7)],
        ),
        (FINGER_EXTENSION, [(SENSITIVITY, 88), (SPECIFICITY, 0), (SENSITIVITY, 83.3)]),
    ],
)
def test_accuracy_of_the_maneuvers_is_the_printed_one(test, printed):
    assert [(row.name, row.figure.value) for row in test.accuracy] == printed
