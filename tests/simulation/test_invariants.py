"""What the rules must never do, on invented arms through a year of weekly visits."""

from datetime import timedelta
from functools import cache

import pytest

from rehab.clinical.arm import course
from rehab.clinical.loads import largest_step_kg
from rehab.clinical.progression import propose
from rehab.clinical.proposal import Decision, LoadStep
from rehab.clinical.reviewing import MessageKind
from rehab.clinical.sessions import SessionState
from rehab.clinical.thresholds import DEFAULTS
from tests.simulation.walk import live

ARMS = 36


@cache
def years():
    return tuple(live(seed) for seed in range(ARMS))


def visits():
    return [seen for year in years() for seen in year.seen]


def goes_up(seen):
    proposal = seen.proposal
    return proposal.decision is Decision.MOVE_UP or proposal.load_step is LoadStep.ADD


def too_much_since(seen, days):
    since = seen.arm.today - timedelta(days=days)
    return course(seen.arm, DEFAULTS).since(since, SessionState.TOO_MUCH)


def test_the_arms_meet_every_kind_of_answer():
    answers = {(seen.proposal.decision, seen.proposal.load_step) for seen in visits()}
    assert answers == {
        (Decision.MOVE_UP, LoadStep.KEEP),
        (Decision.STAY, LoadStep.ADD),
        (Decision.STAY, LoadStep.KEEP),
        (Decision.STAY, LoadStep.REDUCE),
        (Decision.STEP_BACK, LoadStep.REDUCE),
        (Decision.STOP_AND_REVIEW, LoadStep.KEEP),
    }
    assert {int(seen.arm.stage) for seen in visits()} == {1, 2, 3, 4, 5}


def test_nothing_goes_up_while_too_much_of_this_week_is_unanswered():
    for seen in filter(goes_up, visits()):
        answered = min(7, seen.arm.days_since_load_step)
        assert too_much_since(seen, answered) == ()


def test_nothing_goes_up_on_missing_data():
    for seen in filter(goes_up, visits()):
        about = "stage" if seen.proposal.decision is Decision.MOVE_UP else "load"
        asked = [row.held for row in seen.proposal.criteria if row.about in ("data", about)]
        assert asked == [True] * len(asked)


def test_no_load_grows_by_more_than_is_allowed():
    for seen in visits():
        before, after = seen.arm.load_kg, seen.proposal.next_load_kg
        if before is not None and after is not None and after > before:
            assert after - before <= largest_step_kg(before) + 1e-9


def test_no_stage_is_skipped_upward():
    for seen in filter(lambda seen: seen.proposal.next_stage, visits()):
        assert seen.proposal.next_stage - seen.arm.stage in (-1, 0, 1)


def test_a_sign_to_act_on_always_stops():
    alarmed = [seen.proposal.decision for seen in visits() if seen.arm.red_flags]
    assert set(alarmed) == {Decision.STOP_AND_REVIEW}


def test_the_same_arm_gets_the_same_answer():
    assert [propose(seen.arm) for seen in years()[0].seen] == [
        seen.proposal for seen in years()[0].seen
    ]


def test_every_arm_ends_in_discharge_review_or_referral_or_is_still_climbing():
    climbing = [year for year in years() if year.ended == "still climbing"]
    assert {year.ended for year in years()} >= {"discharge", "review", "refer", "stop"}
    assert all(any(map(goes_up, year.seen[-6:])) for year in climbing)


def test_an_arm_that_stands_still_is_looked_at():
    for seen in visits():
        still = min(seen.arm.days_since_load_step, seen.arm.days_in_stage)
        if seen.arm.stage < 5 and still >= 42 and seen.proposal.decision is Decision.STAY:
            assert {message.kind for message in seen.proposal.messages} & {
                MessageKind.REVIEW,
                MessageKind.RE_EXAMINE,
                MessageKind.REFER,
                MessageKind.ADHERENCE,
            }


@pytest.mark.parametrize("seed", range(0, ARMS, 6))
def test_an_arm_lives_the_same_year_twice(seed):
    assert live(seed).seen[-1] == years()[seed].seen[-1]
