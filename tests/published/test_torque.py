"""Torque at the wrist and in forearm rotation against values worked out by hand.

Segment data: de Leva 1996, J Biomech 29:1223; the worked cases (an 80 kg man with 2 kg, a 65 kg woman
with 1 kg) were computed outside this project from the printed formulas.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clinic.evidence import Status
from rehab.clinical import torque

from .printed import numbers

ANGLES = (0, 30, 45, 60)

# fmt: off
WRIST = [
    ("male",   80, 2.0, (1.895, 1.641, 1.340, 0.947)),
    ("male",   80, 0.0, (0.326, 0.282, 0.230, 0.163)),
    ("female", 65, 1.0, (0.944, 0.817, 0.667, 0.472)),
    ("female", 65, 0.0, (0.208, 0.180, 0.147, 0.104)),
]
ROTATION = [
    (0.5, 0.25, (0, 0.613, 0.867, 1.062, 1.226)),
    (0.5, 0.15, (0, 0.368, 0.520, 0.637, 0.735)),
    (1.0, 0.25, (0, 1.226, 1.734, 2.123, 2.452)),
]
# fmt: on


@pytest.mark.parametrize(("sex", "body_kg", "load_kg", "printed"), WRIST)
def test_a_dumbbell_asks_the_printed_torque_of_the_wrist(sex, body_kg, load_kg, printed):
    found = [
        torque.wrist_torque_nm(load_kg, body_kg=body_kg, sex=sex, angle_deg=angle)
        for angle in ANGLES
    ]
    assert found == pytest.approx(printed, abs=6e-4)


@pytest.mark.parametrize(("load_kg", "lever_m", "printed"), ROTATION)
def test_an_offset_weight_asks_the_printed_torque_of_rotation(load_kg, lever_m, printed):
    found = [
        torque.rotation_torque_nm(load_kg, lever_m=lever_m, angle_deg=angle)
        for angle in (*ANGLES, 90)
    ]
    assert found == pytest.approx(printed, abs=6e-4)


def test_the_published_start_load_is_about_a_quarter_of_a_mans_mean_strength():
    asked = torque.wrist_torque_nm(2.0, body_kg=80, sex="male")
    assert round(torque.share_of_strength(asked)) == 27


def test_the_strength_for_scale_is_the_printed_one():
    """Delp, Grizzle & Buchanan 1996 (abstract): 7.1 N m, SD 2.1, range 3.4–9.4."""
    row = torque.WRIST_EXTENSION_MEN
    assert (row.value, row.status, numbers(row.limits)) == (
        7.1, Status.PUBLISHED, (10, 2.1, 3.4, 9.4),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("sex", "values"),
    [("male", (0.0061, 0.0862, 0.7900, 0.080)), ("female", (0.0056, 0.0780, 0.7474, 0.075))],
)
def test_the_hand_is_the_printed_one(sex, values):
    hand = torque.HANDS[sex]
    found = (hand.mass_share, hand.length_m, hand.center_share, hand.grip_m)
    assert tuple(figure.value for figure in found) == values


@given(load=st.floats(0, 10), lever=st.floats(0.01, 1))
def test_half_the_lever_is_half_the_torque(load, lever):
    whole = torque.rotation_torque_nm(load, lever_m=lever)
    assert torque.rotation_torque_nm(load, lever_m=lever / 2) == pytest.approx(whole / 2)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: torque.wrist_torque_nm(-1, body_kg=80, sex="male"), "0 kg or more"),
        (lambda: torque.wrist_torque_nm(1, body_kg=0, sex="male"), "above 0 kg"),
        (lambda: torque.wrist_torque_nm(1, body_kg=80, sex="male", angle_deg=91), "−90 to 90"),
        (lambda: torque.rotation_torque_nm(1, lever_m=-0.1), "below 0"),
        (lambda: torque.rotation_torque_nm(1, lever_m=0.1, angle_deg=181), "0 to 180"),
        (lambda: torque.share_of_strength(-1), "below 0"),
    ],
)
def test_what_is_no_arm_or_weight_is_refused(wrong, words):
    with pytest.raises(ValueError, match=words):
        wrong()
