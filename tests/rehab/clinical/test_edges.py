"""Limits at exactly their value: one more or one less would be judged otherwise."""

import pytest

from rehab.clinical.progression import propose
from tests.rehab.clinical.arms import REST, SPARE, arm, diary, holding_arm, returning_arm, slow_arm


def rows(proposal, words):
    return [row.held for row in proposal.criteria if str(row.words) == words]


@pytest.mark.parametrize(("days", "held"), [(6, False), (7, True)])
def test_a_load_step_is_due_on_the_seventh_day(days, held):
    proposal = propose(arm(diary=SPARE, days_since_load_step=days))
    assert rows(proposal, "Time since the last load step") == [held]


@pytest.mark.parametrize(("days", "done", "held"), [(10, 7, True), (13, 9, False)])
def test_seventy_of_a_hundred_sessions_are_just_enough(days, done, held):
    trained = diary(days, {ago: REST for ago in range(done + 1, days + 1)})
    proposal = propose(arm(diary=trained, days_in_stage=days, weeks_in_care=1))
    assert rows(proposal, "Enough sessions done to judge") == [held]


@pytest.mark.parametrize(("days", "held"), [(2, False), (3, True)])
def test_three_days_of_full_holds_in_a_row_are_enough(days, held):
    rested = {ago: REST for ago in range(days + 1, 8)}
    held_full = diary(7, rested, sets_done=5, last_set_repetitions=None, hold_s=45)
    proposal = propose(holding_arm(diary=held_full))
    assert rows(proposal, "Full holds settled on days in a row") == [held]


@pytest.mark.parametrize(("watched_ago", "held"), [(2, False), (3, True)])
def test_two_full_sessions_running_are_enough(watched_ago, held):
    proposal = propose(arm(diary=diary(last={watched_ago: {"worst_pain": 4}})))
    assert rows(proposal, "The full dose settled, sessions running") == [held]


@pytest.mark.parametrize(("score", "held"), [(30.0, True), (30.1, False)])
def test_a_questionnaire_of_thirty_is_low_enough_for_heavy_work(score, held):
    proposal = propose(slow_arm(prtee_start=40.0, prtee_today=score))
    assert rows(proposal, "PRTEE clearly better") == [held]


@pytest.mark.parametrize(("score", "held"), [(20.0, True), (20.1, False)])
def test_a_questionnaire_of_twenty_is_low_enough_for_discharge(score, held):
    proposal = propose(returning_arm(prtee_today=score, own_goal_met=False))
    assert rows(proposal, "PRTEE low, or own goal met") == [held]


@pytest.mark.parametrize(("ago", "held"), [(28, False), (29, True)])
def test_discharge_asks_for_twenty_eight_clear_days(ago, held):
    proposal = propose(returning_arm(diary=diary(last={ago: {"worst_pain": 6}})))
    assert rows(proposal, "Days without a session that was too much") == [held]


@pytest.mark.parametrize(("watched_ago", "held"), [(1, False), (2, True)])
def test_one_settled_session_goes_on_in_the_return_plan(watched_ago, held):
    proposal = propose(returning_arm(diary=diary(last={watched_ago: {"worst_pain": 4}})))
    assert rows(proposal, "The last step settled") == [held]


@pytest.mark.parametrize(("pain", "kinds"), [(4, ["review"]), (3, [])])
def test_a_fall_of_worst_pain_by_three_points_counts(pain, kinds):
    """2.3 points on a scale of whole numbers."""
    unchanged = arm(weeks_in_care=6, prtee_today=44.0, worst_pain_start=6, worst_pain_today=pain)
    assert [message.kind for message in propose(unchanged).messages] == kinds


@pytest.mark.parametrize(("weeks", "kind"), [(25, "examine again"), (26, "refer")])
def test_half_a_year_without_a_change_refers(weeks, kind):
    unchanged = arm(weeks_in_care=weeks, prtee_today=44.0, worst_pain_today=6)
    assert [message.kind for message in propose(unchanged).messages] == [kind]
