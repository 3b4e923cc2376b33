import pytest

from assessments.clinical.force import Unit
from assessments.clinical.protocol import (
    MAXIMAL_BENT,
    PAIN_FREE_STRAIGHT,
    WAYS,
    seems_too_low,
)
from cases.clinical.intake import HOLD_ALL_HEAVY


def test_every_way_has_its_own_fields():
    assert [way.slug for way in WAYS] == ["pain_free", "pain_free_bent", "maximal"]


@pytest.mark.parametrize(
    ("value", "unit", "asked"),
    [(59.9, Unit.N, True), (60, Unit.N, False), (6.1, Unit.KGF, True), (14, Unit.LBF, False)],
)
def test_a_maximal_grip_below_60_newtons_is_asked_about(value, unit, asked):
    assert seems_too_low(value, unit, MAXIMAL_BENT, affected=True) is asked


def test_pain_free_grip_is_asked_about_on_the_unaffected_side_only():
    asked = [seems_too_low(40, Unit.N, PAIN_FREE_STRAIGHT, affected=a) for a in (True, False)]

    assert asked == [False, True]


def test_a_negative_reading_is_refused():
    with pytest.raises(ValueError, match="not a reading"):
        seems_too_low(-1, Unit.N, MAXIMAL_BENT, affected=True)


def test_maximal_grip_warns_of_an_injection_for_as_long_as_the_intake_does():
    """1–2 weeks: usual practice from memory, no published figure was found."""
    weeks = f"1–{HOLD_ALL_HEAVY.value} weeks after a steroid injection"

    warned = [way for way in WAYS if any(weeks in step for step in way.steps)]

    assert warned == [MAXIMAL_BENT]
