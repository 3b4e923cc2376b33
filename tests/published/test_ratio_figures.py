"""Every likelihood ratio and wrist angle, with its status, against the sources.

Appelboam 2008 BMJ 337:a2428 (ratios computed from the counts); Wainner 2003 Spine 28:52–62; Dorf 2007 J Hand
Surg Am 32(6):882–6; Blackwell & Cole 1994 J Biomech 27:509–16; Knudson & Blackwell 1997 Int J Sports Med
18:79–82; Glynn 2007, read second-hand.
"""

import math
from statistics import NormalDist

import pytest

from cases.clinical import likelihood, wrist_angle
from clinic.evidence import Status

from .printed import numbers

PUBLISHED, SECOND_HAND = Status.PUBLISHED, Status.SECOND_HAND
COMPUTED, MEMORY = Status.COMPUTED, Status.FROM_MEMORY
GRIP = likelihood.GRIP_DIFFERENCE

# fmt: off
FIGURES = (
    # figure, printed, status, numbers of its limits
    (likelihood.ELBOW_EXTENSION.positive, 1.887, COMPUTED, (521, 617, 17, 585, 48.7, 48.5)),
    (likelihood.ELBOW_EXTENSION.negative, 0.0649, COMPUTED, (0.03, 0.01, 0.08)),  # adults alone
    (likelihood.NECK_THREE_OF_FOUR.positive, 6.1, MEMORY, (2.0, 18.6)),
    (likelihood.NECK_FOUR_OF_FOUR.positive, 30.3, SECOND_HAND, (1.7, 38.2)),
    (GRIP[0].positive, 4.15, MEMORY, (5, 81)), (GRIP[0].negative, 0.21, MEMORY, (5, 81)),
    (GRIP[1].positive, 5.33, MEMORY, (8, 81)), (GRIP[1].negative, 0.24, MEMORY, (8, 81)),
    (GRIP[2].positive, 7.80, MEMORY, (10, 81)), (GRIP[2].negative, 0.24, MEMORY, (10, 81)),
    # rad: experts extended 0.41, novices flexed 0.22; degrees of one elite and one novice; rad/s after
    (wrist_angle.EXPERTS.known, 0.41, PUBLISHED, ()),
    (wrist_angle.NOVICES.known, 0.22, PUBLISHED, ()),
    (wrist_angle.CONTRADICTED_BY[0], 10, SECOND_HAND, ()),  # Glynn 2007, n = 3: elite, novice
    (wrist_angle.CONTRADICTED_BY[1], 30, SECOND_HAND, ()),
    (wrist_angle.AFTER_IMPACT[0], 4.04, PUBLISHED, ()),     # Knudson 1997: extension, flexion
    (wrist_angle.AFTER_IMPACT[1], 0.42, PUBLISHED, ()),
)
# fmt: on


@pytest.mark.parametrize(("figure", "printed", "status", "limits"), FIGURES)
def test_a_ratio_or_an_angle_is_as_it_is_printed(figure, printed, status, limits):
    assert (figure.value, figure.status, numbers(figure.limits)) == (printed, status, limits)


def test_a_95_percent_interval_takes_the_normal_quantile():
    # Computed: the 97.5 % point of the normal distribution, to six decimals.
    assert round(NormalDist().inv_cdf(0.975), 6) == likelihood.Z_95


@pytest.mark.parametrize(
    ("group", "angle_deg"),
    # Blackwell & Cole 1994: about 23° extended and 13° flexed; degrees computed, 8 players each.
    [(wrist_angle.EXPERTS, math.degrees(0.41)), (wrist_angle.NOVICES, -math.degrees(0.22))],
)
def test_the_group_means_are_the_printed_radians_in_degrees(group, angle_deg):
    assert (group.players, group.angle_deg) == (8, angle_deg)


def test_the_study_that_contradicts_names_its_three_players():
    # Glynn 2007, n = 3.
    assert wrist_angle.CONTRADICTED_BY[0].source == "Glynn 2007, n = 3"
