"""What must hold for every arm, however its values fall."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from rehab.clinical.ladder import Stage
from rehab.clinical.progression import Decision, LoadStep, propose
from rehab.clinical.sessions import DiaryDay
from tests.rehab.clinical.arms import READY, TODAY

PAIN = st.none() | st.integers(0, 10)
SOME_DAY = st.builds(
    DiaryDay,
    on=st.dates(min_value=TODAY.replace(month=2), max_value=TODAY),
    sets_done=st.integers(0, 5),
    last_set_repetitions=st.none() | st.integers(0, 20),
    worst_pain=PAIN,
    next_morning_pain=PAIN,
    night_wakings=st.none() | st.integers(0, 2),
)
MEASURED = st.fixed_dictionaries(
    {},
    optional={
        "diary": st.lists(SOME_DAY, max_size=20, unique_by=lambda day: day.on).map(tuple),
        "days_in_stage": st.integers(0, 60),
        "days_since_load_step": st.none() | st.integers(0, 20),
        "load_kg": st.none() | st.integers(1, 80).map(lambda tenths: tenths / 10),
        "smallest_step_kg": st.none() | st.sampled_from([0.1, 0.25, 0.5, 1.0]),
        "grip_ratio": st.none() | st.floats(0.1, 1.5),
        "other_side_sore": st.none() | st.booleans(),
        "prtee_today": st.none() | st.integers(0, 100),
        "rest_pain": PAIN,
        "test_lift_pain": PAIN,
        "return_steps_done": st.none() | st.integers(0, 21),
    },
)


@settings(max_examples=200)
@given(stage=st.sampled_from(Stage), changes=MEASURED)
def test_no_arm_moves_up_with_anything_open(stage, changes):
    proposal = propose(READY[stage](**changes))
    needed = [row.held for row in proposal.criteria if row.about in ("data", "stage")]
    assert proposal.decision is not Decision.MOVE_UP or set(needed) == {True}


@settings(max_examples=200)
@given(stage=st.sampled_from(Stage), changes=MEASURED)
def test_every_sentence_of_a_proposal_can_be_said(stage, changes):
    proposal = propose(READY[stage](**changes))
    rows = [words for row in proposal.criteria for words in (row.words, row.found, row.gate)]
    said = [*proposal.reasons, *rows, *(message.words for message in proposal.messages)]
    assert [words for words in said if "%(" in str(words) or "%%" in str(words)] == []


@settings(max_examples=200)
@given(stage=st.sampled_from(Stage), changes=MEASURED)
def test_no_arm_is_given_more_than_one_change_or_a_big_one(stage, changes):
    ready = READY[stage](**changes)
    proposal = propose(ready)
    before, after = ready.load_kg or 0, proposal.next_load_kg or 0
    assert not (proposal.decision is Decision.MOVE_UP and proposal.load_step is LoadStep.ADD)
    assert after - before <= max(before * 0.1, 0.1) + 1e-9


@settings(max_examples=200)
@given(stage=st.sampled_from(Stage), worst=st.integers(0, 10), more=st.integers(1, 10))
def test_more_pain_never_gives_a_bolder_decision(stage, worst, more):
    ready = READY[stage]()
    bold = [LoadStep.REDUCE, LoadStep.KEEP, LoadStep.ADD]
    answers = []
    for pain in (worst, min(10, worst + more)):
        last = replace(ready.diary[-1], worst_pain=pain)
        answer = propose(replace(ready, diary=(*ready.diary[:-1], last)))
        answers.append((bold.index(answer.load_step), answer.next_stage))
    assert answers[1] <= answers[0]
