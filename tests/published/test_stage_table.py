"""The numbers of the five stages and their doses, against the programs that they follow.

Holds: Coombes 2016, Stasinopoulos 2017. Stage 2: Peterson 2011. Stages 3 and 4: heavy slow resistance
(read second-hand) and Couppé 2022; 48 h apart: a later trial register, NCT06774547. Gates, least times
and sizes of a step back are common practice without a source.
"""

import pytest

from rehab.clinical.entry import STARTS, EntryFindings, Irritability, enter
from rehab.clinical.loads import PETERSON_START_KG, PETERSON_STEP_KG
from rehab.clinical.stages import SETS_AT, STAGES, Policy, Stage, stage_doses

from .printed import numbers

# fmt: off
MAXIMA = {1: (), 2: (), 3: (15, 12), 4: (10, 8, 6), 5: ()}
BANDS = {
    # stage: sets, repetitions, up s, down s, rest s, days a week
    3: [(3, 15, 3, 3, 120, 3), (3, 12, 3, 3, 120, 3)],
    4: [(4, 10, 3, 3, 120, 3), (4, 8, 3, 3, 120, 3), (4, 6, 3, 3, 120, 3)],
}
# fmt: on


def test_the_repetition_maxima_of_a_stage_are_the_printed_ones():
    assert {row.stage: row.repetition_maxima for row in STAGES} == MAXIMA


def test_the_sets_of_a_band_are_the_printed_ones():
    # Heavy slow resistance by week, read second-hand: 3 × 15, 3 × 12, 4 × 10, 4 × 8, 4 × 6.
    assert SETS_AT == {15: 3, 12: 3, 10: 4, 8: 4, 6: 4}


@pytest.mark.parametrize(("stage", "bands"), BANDS.items())
@pytest.mark.parametrize("code", ["straight-arm-lift", "turn-palm"])
def test_a_band_is_dosed_as_it_is_printed(stage, bands, code):
    # 3 s up and 3 s down, 2–3 min of rest (the shorter end), 3 days a week.
    doses = stage_doses(Stage(stage), code)

    assert [
        (d.sets, d.repetitions, d.up_s, d.down_s, d.rest_s, d.days_per_week) for d in doses
    ] == bands


@pytest.mark.parametrize("code", ["lower-slowly", "lift-and-lower"])
@pytest.mark.parametrize(("sex", "start_kg"), [("female", 1.0), ("male", 2.0)])
def test_lifting_starts_with_petersons_weights(code, sex, start_kg):
    # Peterson 2011: 1 kg women, 2 kg men, 0.1 kg more each week.
    assert stage_doses(Stage.LIGHT_ISOTONIC, code, sex=sex)[0].load_kg == start_kg
    assert (PETERSON_START_KG[sex], PETERSON_STEP_KG) == (start_kg, 0.1)


def test_irritability_decides_where_one_starts():
    # Adapted from McClure & Michener 2015, not validated for the elbow: stage, policy.
    assert STARTS == {
        Irritability.HIGH: (1, Policy.STRICT),
        Irritability.MODERATE: (1, Policy.STANDARD),
        Irritability.LOW: (2, Policy.STANDARD),
    }


@pytest.mark.parametrize(
    ("worst_pain", "nights", "prtee", "level"),
    # Pain 7 and 4, nights 3 and 1, PRTEE above 54 and from 20: bands from memory and common practice.
    [
        (3, 0, 0, Irritability.LOW),
        (3, 0, 19.5, Irritability.LOW),
        (4, 0, 0, Irritability.MODERATE),
        (3, 1, 0, Irritability.MODERATE),
        (3, 0, 20, Irritability.MODERATE),
        (6, 2, 54, Irritability.MODERATE),
        (7, 0, 0, Irritability.HIGH),
        (3, 3, 0, Irritability.HIGH),
        (3, 0, 54.5, Irritability.HIGH),
        (3, 0, 100, Irritability.HIGH),
    ],
)
def test_irritability_turns_at_the_printed_values(worst_pain, nights, prtee, level):
    found = EntryFindings(
        age=45,
        rest_pain=0,
        worst_pain=worst_pain,
        night_wakings_a_week=nights,
        lasts_over_24_h=False,
        prtee=prtee,
    )

    assert enter(found).irritability is level


@pytest.mark.parametrize(
    ("age", "worst_pain", "printed"),
    # Stage 3 if 3 × 15 with the start weight hurts 2 or less, stage 2 with a weight that hurts no more:
    # common practice. Guideline: 18–65 years.
    [
        (65, 0, [(), (3, 3, 15, 2)]),
        (66, 0, [(), (65,)]),
        (65, 5, [(5, 10, 4), (2, 2)]),
        (66, 5, [(5, 10, 4), (65, 1)]),
        (65, 8, [(8, 10, 7)]),
    ],
)
def test_the_words_of_an_entry_show_the_printed_numbers(age, worst_pain, printed):
    found = EntryFindings(
        age=age,
        rest_pain=0,
        worst_pain=worst_pain,
        night_wakings_a_week=0,
        lasts_over_24_h=False,
        prtee=0,
    )

    assert [numbers(str(words)) for words in enter(found).reasons] == printed
