"""What the patient owns: the loads it makes, and what is next to them."""

import pytest

from rehab.clinical import loads, owned
from rehab.clinical.exercises import CARDS
from rehab.clinical.owned import Owned, Tool

BOTTLE_ENDS = ", and a bottle for 0.1 to 2 kg in steps of 0.1 kg."


def test_a_bottle_makes_every_tenth_up_to_two_kilograms():
    # Peterson 2011: 100 ml of water are 0.1 kg.
    made = Owned(bottle=True).loads_kg()
    assert (len(made), made[0], made[1], made[-1]) == (20, 0.1, 0.2, 2.0)


def test_weights_and_bottle_are_one_row_of_loads():
    made = Owned(weights_kg=(3, 1.5, 2.25), bottle=True).loads_kg()
    assert made[-3:] == (2.0, 2.25, 3)
    assert made.count(1.5) == 1


@pytest.mark.parametrize(
    ("card", "made"),
    [(None, (1, 2)), ("lift-and-lower", (1, 2)), ("turn-palm", (0.6, 1, 2)), ("row", (1, 2))],
)
def test_a_hammer_is_a_load_only_where_the_exercise_takes_one(card, made):
    assert Owned(weights_kg=(1, 2), hammer_kg=0.6).loads_kg(card) == made


@pytest.mark.parametrize(
    ("load_kg", "owns"),
    [(0, True), (0.3, True), (2.0, True), (2.1, False), (3, True), (1.05, False)],
)
def test_a_load_is_owned_or_not(load_kg, owns):
    assert Owned(weights_kg=(3,), bottle=True).owns(load_kg) is owns


@pytest.mark.parametrize("kg", [0, -1, 50.1])
def test_what_is_no_weight_is_an_error(kg):
    with pytest.raises(ValueError, match="not a weight"):
        Owned(weights_kg=(kg,))
    with pytest.raises(ValueError, match="not a weight"):
        Owned(hammer_kg=kg)


@pytest.mark.parametrize(("load_kg", "down"), [(0, 0), (1, 0), (1.2, 1), (2, 1.5), (3, 2)])
def test_the_next_load_down(load_kg, down):
    assert owned.next_down_kg(load_kg, (1, 1.5, 2)) == down


@pytest.mark.parametrize(("load_kg", "found"), [(0.9, 0), (1, 1), (1.4, 1), (9, 2)])
def test_the_heaviest_load_that_is_not_above_one(load_kg, found):
    assert owned.at_most_kg(load_kg, (1, 1.5, 2)) == found


@pytest.mark.parametrize(
    ("has", "card", "words"),
    [
        ({}, None, "The patient owns no weight."),
        ({"weights_kg": (2,)}, None, "The patient owns 2 kg."),
        ({"weights_kg": (2, 1, 1.5)}, None, "The patient owns 1, 1.5 and 2 kg."),
        ({"weights_kg": (2,), "hammer_kg": 0.6}, "turn-palm", "The patient owns 0.6 and 2 kg."),
        ({"weights_kg": (2,), "hammer_kg": 0.6}, "lift-and-lower", "The patient owns 2 kg."),
        ({"bottle": True}, None, "The patient owns a bottle, for 0.1 to 2 kg in steps of 0.1 kg."),
        ({"weights_kg": (3,), "bottle": True}, None, "The patient owns 3 kg" + BOTTLE_ENDS),
        ({"weights_kg": (3, 4), "bottle": True}, None, "The patient owns 3 and 4 kg" + BOTTLE_ENDS),
    ],
)
def test_what_is_owned_is_said(has, card, words):
    assert str(Owned(**has).words(card)) == words


@pytest.mark.parametrize(
    ("has", "card", "lacks"),
    [
        ({"bottle": True}, "lift-and-lower", False),
        ({}, "lift-and-lower", True),
        ({"weights_kg": (1,)}, "turn-palm", True),
        ({"hammer_kg": 0.6}, "turn-palm", False),
        ({"hammer_kg": 0.6}, "thumb-up-lift", False),
        ({"band": True}, "straight-arm-lift", False),
        ({"weights_kg": (1,)}, "row", True),
        ({"band": True}, "row", False),
        ({}, "ball-squeeze", True),
        ({"ball": True}, "ball-squeeze", False),
        ({}, "twist-bar", True),
        ({"twist_bar": True}, "twist-bar", False),
        ({}, "fist-hold", False),
        ({}, "an exercise of the clinic's own", False),
    ],
)
def test_what_an_exercise_lacks(has, card, lacks):
    assert (Owned(**has).lacks(card) is not None) is lacks


def test_every_tool_has_its_words_and_every_card_in_the_table_exists():
    assert set(owned.NEEDED) == set(Tool)
    assert set(owned.TOOLS) | set(owned.ALSO_WEIGHED) <= {card.code for card in CARDS}


def test_only_what_is_lifted_by_hand_is_weighed():
    weighed = [card.code for card in CARDS if owned.is_weighed(card.code)]
    assert weighed == [
        "wrist-hold", "lower-slowly", "lift-and-lower", "thumb-up-lift", "turn-palm",
        "straight-arm-lift",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("load_kg", "owned_kg", "next_kg"),
    [
        (0, (0.1, 1), 0.1),
        (0, (0.2, 1), 0),
        (0.5, (0.6,), 0.6),
        (2.0, (2.2, 2.1), 2.1),
        (2.0, (2.21,), 2.0),
        (10.0, (10.1, 10.5), 10.5),
        (10.0, (10.1,), 10.0),
    ],
)
def test_the_next_owned_load_is_within_two_to_ten_percent(load_kg, owned_kg, next_kg):
    # ACSM 2009; Peterson 2011: 0.1 kg always.
    after = loads.next_load_kg(load_kg, smallest_step_kg=0.1, owned_kg=owned_kg)
    assert (after.load_kg, after.changed) == (next_kg, next_kg != load_kg)


@pytest.mark.parametrize(
    ("owned_kg", "last_settled_kg", "next_kg"),
    [
        ((1.5, 1.8, 1.9), None, 1.8),
        ((1.5, 1.9), None, 1.5),
        ((2.0, 3.0), None, 0),
        ((1.5, 1.9), 1.9, 1.9),
        ((1.5,), 1.9, 1.5),
        ((1.5,), 0, 0),
    ],
)
def test_less_is_a_load_that_is_owned(owned_kg, last_settled_kg, next_kg):
    after = loads.reduced_load_kg(
        2.0, smallest_step_kg=0.1, owned_kg=owned_kg, last_settled_kg=last_settled_kg
    )
    assert after.load_kg == next_kg


@pytest.mark.parametrize(("owned_kg", "next_kg"), [((1, 1.5, 2), 1.5), ((2, 3), 0), ((), 0)])
def test_one_step_less_is_the_next_lighter_weight(owned_kg, next_kg):
    after = loads.stepped_down_kg(2.0, smallest_step_kg=0.1, owned_kg=owned_kg)
    assert after.load_kg == next_kg
