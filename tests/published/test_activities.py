"""The patient's own activities against the worked example."""

from assessments.clinical.activities import activities_change, mean_rating

BEFORE, AFTER = {"lift": 2, "dig": 4, "write": 3}, {"lift": 5, "dig": 6, "write": 4}


def test_the_means_and_the_change_are_the_worked_ones():
    # Computed; the change equals the MDC90 of Stratford 1995 Physiother Can 47:258–63, which counts.
    change = activities_change(BEFORE, AFTER)

    assert (mean_rating((2, 4, 3)), mean_rating((5, 6, 4))) == (3.0, 5.0)
    assert (change.amount, change.beyond_error) == (2.0, True)
