"""What a stage waits for, in the patient's words."""

from dataclasses import replace

from django.utils import translation

from clinic.templatetags.clinic_tags import say as written
from clinic.wording import say
from rehab.clinical.gate_words import WORDS, in_plain_words
from rehab.clinical.ladder import Stage
from rehab.clinical.progression import propose
from rehab.clinical.thresholds import DEFAULTS, THRESHOLDS, in_force
from tests.rehab.clinical.arms import READY, arm, heavy_arm, returning_arm, slow_arm

ARMS = [*(READY[stage]() for stage in (1, 2, 3, 4)), returning_arm(), arm(days_back=2)]


def told(given, *, limits=DEFAULTS) -> list[str]:
    """Every criterion of the arm's stage, as its patient reads it."""
    rows = propose(given, limits=limits).criteria
    return [str(in_plain_words(row)) for row in rows if row.about == "stage"]


def test_every_criterion_of_every_stage_has_a_sentence():
    asked = {
        row.figure.code for given in ARMS for row in propose(given).criteria if row.about == "stage"
    }

    assert {given.stage for given in ARMS} == set(Stage)
    assert asked == {*WORDS}


def test_every_sentence_is_of_a_row_of_the_table():
    assert {*WORDS} - {row.code for row in THRESHOLDS} == set()


def test_stage_three_waits_for_time_dose_grip_and_score():
    assert told(slow_arm()) == [
        "At least 21 days in this stage.",
        "The full dose settles in 2 sessions in a row, with the most that you can lift 12 times.",
        "Your grip is 80 % of the other arm or more.",
        "Your score on the elbow form is 15 points lower than at the start, or no more than 30.",
    ]


def test_a_clinics_own_figures_are_told():
    own = in_force({"ratio_for_return": 0.95, "stage_4_days": 35})

    assert told(heavy_arm(), limits=own)[::2] == [
        "At least 35 days in this stage.",
        "Your grip is 95 % of the other arm or more.",
        "No session is too much for 14 days.",
    ]


def test_a_stored_criterion_is_told_like_a_new_one():
    proposal = propose(arm())
    again = type(proposal).from_json(proposal.as_json())

    assert [in_plain_words(row) for row in again.criteria] == [
        in_plain_words(row) for row in proposal.criteria
    ]


def test_a_load_is_a_number_that_the_page_writes():
    [gain] = [row for row in propose(arm()).criteria if row.figure.code == "load_gain_kg"]
    sentence = in_plain_words(gain)

    assert dict(sentence.values) == {"kg": 0.3}
    with translation.override("es"):
        assert "0,3 kg" in written(sentence)


def test_what_an_earlier_edition_asked_for_is_told_in_its_own_words():
    row = next(row for row in propose(arm()).criteria if row.about == "stage")
    unknown = replace(row, figure=replace(row.figure, code="gone"), words=say("Sleep"))

    assert str(in_plain_words(unknown)) == "Sleep: 21 days or more."
