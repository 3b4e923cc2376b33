"""The catalog is complete and its doses can be said in words."""

import json
from dataclasses import replace

import pytest

from rehab.clinical import exercises
from rehab.clinical.choosing import RAISED, also_possible, first_choice
from rehab.clinical.exercises import CARDS, COMMON, Card, Dose
from rehab.clinical.ladder import STAGES, Stage
from rehab.clinical.plain_words import long_sentences


def test_the_cards_are_numbered_without_a_gap():
    assert [row.number for row in CARDS] == list(range(1, 17))


def test_every_card_has_its_own_code():
    assert len({row.code for row in CARDS}) == len(CARDS)


def test_every_card_says_everything_it_must():
    fields = (
        "name", "start", "steps", "usual_mistake", "caution", "equipment", "structures",
        "usual_dose", "gate", "source",
    )  # fmt: skip
    silent = [row.code for row in CARDS for field in fields if not getattr(row, field)]
    assert silent == []


@pytest.mark.parametrize("row", CARDS, ids=lambda row: row.code)
def test_no_sentence_for_a_patient_has_more_than_25_words(row):
    assert long_sentences((*COMMON, *row.for_patients)) == ()


def test_a_long_sentence_is_found_among_short_ones():
    most = " ".join(["word"] * 25)

    assert long_sentences([f"Short. {most}. {most} 1.5 kg! Short."]) == (f"{most} 1.5 kg!",)


@pytest.mark.parametrize("row", CARDS, ids=lambda row: row.code)
def test_a_card_comes_back_from_its_record_as_it_was(row):
    assert Card.from_json(json.loads(json.dumps(row.as_json()))) == row


def test_a_stage_begins_with_what_the_clinic_offers():
    assert first_choice(Stage.LIGHT_ISOTONIC) == ("lift-and-lower", "open-hand", "row")
    assert first_choice(Stage.LIGHT_ISOTONIC, hidden={"row"}) == ("lift-and-lower", "open-hand")


def test_what_the_ladder_raises_is_the_first_of_each_stage():
    assert RAISED == (
        "wrist-hold", "lift-and-lower", "straight-arm-lift", "straight-arm-lift", "shadow-swing",
    )  # fmt: skip


def test_own_cards_of_the_stage_are_offered_after_the_catalogs_and_hidden_ones_are_not():
    own = [
        replace(exercises.card("row"), code=f"own-{number}", number=None, stages=stages)
        for number, stages in ((1, (1, 5)), (2, (2,)))
    ]

    offered = also_possible(Stage.RETURN_TO_ACTIVITY, (), own=own, hidden={"lift-and-carry"})

    assert offered == ("shadow-swing", "row", "shoulder-turn", "extensor-stretch", "own-1")


@pytest.mark.parametrize("stage", Stage)
def test_every_card_of_a_stage_is_offered_in_it(stage):
    cards = {card.code for card in exercises.cards_for(stage)}

    assert set(also_possible(stage, ())) == cards
    assert also_possible(stage, cards) == ()


def test_every_stage_uses_only_cards_that_belong_to_it():
    strangers = [
        (row.stage, code)
        for row in STAGES
        for code in row.main
        if row.stage not in exercises.card(code).stages
    ]
    assert strangers == []


@pytest.mark.parametrize(
    ("stage", "numbers"),
    [
        (Stage.ISOMETRIC, [1, 2, 7, 10, 11]),
        (Stage.LIGHT_ISOTONIC, [3, 4, 5, 6, 7, 8, 10, 11, 12, 16]),
        (Stage.SLOW_RESISTANCE, [5, 6, 7, 9, 10, 11, 12, 16]),
        (Stage.HEAVY_AND_FAST, [6, 9, 10, 11, 12, 13, 15, 16]),
        (Stage.RETURN_TO_ACTIVITY, [10, 11, 14, 15, 16]),
    ],
)
def test_a_stage_offers_its_cards(stage, numbers):
    # Common practice, no source.
    offered = [row.number for row in exercises.cards_for(stage)]
    assert offered == numbers, (
        f"a card of {stage.name} is not in this table, or the other way round"
    )


def test_an_unknown_card_or_stage_is_an_error():
    with pytest.raises(ValueError, match="handstand"):
        exercises.card("handstand")
    with pytest.raises(ValueError, match="1 to 5"):
        exercises.cards_for(6)


DOSES = [
    ({"sets": 3, "repetitions": 15, "load_kg": 1.2}, "3 × 15, 1.2 kg", "Do 3 sets of 15 with 1.2 kg."),
    ({"sets": 3, "repetitions": 15}, "3 × 15", "Do 3 sets of 15."),
    ({"sets": 5, "hold_s": 45}, "5 × 45 s", "Hold for 45 seconds, 5 times."),
    ({"sets": 5, "hold_s": 45, "load_kg": 1.0}, "5 × 45 s, 1 kg",
     "Hold for 45 seconds, 5 times, with 1 kg."),
    ({"sets": 3, "repetitions": 10, "hold_s": 3}, "3 × 10 × 3 s",
     "Do 3 sets of 10 and hold each for 3 seconds."),
    ({"sets": 3, "repetitions": 10, "hold_s": 3, "load_kg": 0.5}, "3 × 10 × 3 s, 0.5 kg",
     "Do 3 sets of 10, hold each for 3 seconds, with 0.5 kg."),
]  # fmt: skip


@pytest.mark.parametrize(("parts", "headline", "words"), DOSES)
def test_a_dose_is_said_short_and_long(parts, headline, words):
    dose = Dose(**parts)
    assert (str(dose.headline()), str(dose.in_words())) == (headline, words)


@pytest.mark.parametrize(
    ("times", "days", "words"),
    [
        (1, 7, "Do this once a day, every day."),
        (2, 7, "Do this 2 times a day, every day."),
        (1, 3, "Do this on 3 days a week."),
        (2, 5, "Do this 2 times a day, 5 days a week."),
    ],
)
def test_a_dose_says_how_often(times, days, words):
    dose = Dose(sets=3, repetitions=10, sessions_per_day=times, days_per_week=days)
    assert str(dose.how_often()) == words


def test_a_dose_says_tempo_and_rest_line_by_line():
    dose = Dose(sets=3, repetitions=15, up_s=3, down_s=3, rest_s=60)
    assert [str(line) for line in dose.lines()] == [
        "Do 3 sets of 15.",
        "Take 3 seconds to move and 3 seconds to come back.",
        "Rest 60 seconds between sets.",
        "Do this once a day, every day.",
    ]


def test_the_rest_after_a_hold_is_between_holds():
    assert "Rest 60 seconds between holds." in map(str, Dose(sets=5, hold_s=40, rest_s=60).lines())


@pytest.mark.parametrize(
    ("parts", "complaint"),
    [
        ({"sets": 3}, "repetitions or a hold"),
        ({"sets": 0, "repetitions": 15}, "sets must be above 0"),
        ({"sets": 3, "repetitions": 15, "load_kg": -1}, "load_kg must not be below 0"),
        ({"sets": 3, "repetitions": 15, "days_per_week": 8}, "7 days"),
    ],
)
def test_an_impossible_dose_is_an_error(parts, complaint):
    with pytest.raises(ValueError, match=complaint):
        Dose(**parts)


def test_a_dose_knows_its_work():
    dose = Dose(sets=3, repetitions=15, up_s=3, down_s=3, load_kg=1.0)
    assert (dose.time_under_tension_s(), dose.volume_load_kg()) == (270, 45)


def test_a_hold_has_no_volume_load():
    assert Dose(sets=5, hold_s=45).volume_load_kg() is None


def test_only_the_slow_part_is_timed_when_only_that_is_worked():
    lines = exercises.card("lower-slowly").dose.lines()
    assert str(lines[1]) == "Take 4 seconds for the slow part."


def test_a_dose_without_tempo_and_rest_says_nothing_about_them():
    lines = Dose(sets=2, repetitions=6, days_per_week=2).lines()
    assert [str(line) for line in lines] == ["Do 2 sets of 6.", "Do this on 2 days a week."]


def test_a_dose_without_a_weight_says_so():
    bare = Dose(sets=3, repetitions=15, load_kg=0)
    assert str(bare.headline()) == "3 × 15"
    assert [str(line) for line in bare.lines()][:2] == ["Do 3 sets of 15.", "Use no weight."]
