import datetime

import pytest

from assessments.clinical.completeness import AGAIN_AFTER, WANTED, Ask, Taken, completeness, due
from assessments.clinical.measures import BY_KEY, CoreSet

START = datetime.date(2026, 3, 2)
EVERYTHING = frozenset(wanted.key for wanted in WANTED if wanted.key)
ITEMS = frozenset(range(1, 16))


def taken(week=0, *, keys=EVERYTHING, items=ITEMS, days=0) -> Taken:
    """A visit at which everything was measured, but for what the test says."""
    on = START + datetime.timedelta(weeks=week, days=days)
    return Taken(on=on, keys=frozenset(keys), items=frozenset(items))


def states(rows, occasion):
    return {row.wanted.measure: getattr(row, occasion).there for row in rows}


def test_the_rows_are_those_of_the_published_table_and_one_of_the_guideline():
    # Bateman et al. 2022 Br J Sports Med 56(12):657–66, table 3; activities: Lucado et al. 2022.
    assert [(row.domain, row.level) for row in WANTED] == [
        ("Disability", CoreSet.CORE),
        ("Function", CoreSet.INTERIM),
        ("Pain over a stated time", CoreSet.INTERIM),
        ("Pain on loading", CoreSet.INTERIM),
        ("Physical capacity", CoreSet.INTERIM),
        ("Participation", CoreSet.INTERIM),
        ("High-demand activity", CoreSet.NOT_NAMED),
    ]


def test_every_row_is_a_measure_of_the_register_or_items_of_its_form():
    assert [row.key for row in WANTED if row.key and row.key not in BY_KEY] == []
    assert [sorted(row.items) for row in WANTED if not row.key] == [[1, 4, 5]]


def test_a_case_with_one_full_visit_has_its_start_and_nothing_is_late():
    rows = completeness([taken()], closed=False)

    assert {cell for row in rows for cell in (row.baseline.there,)} == {True}
    assert {(row.interim.there, row.discharge.there) for row in rows} == {(None, None)}


@pytest.mark.parametrize("row", WANTED, ids=lambda row: row.measure)
def test_one_measure_left_out_at_the_start_is_the_one_that_is_missing(row):
    left_out = taken(keys=EVERYTHING - {row.key}, items=ITEMS - row.items)

    missing = [r.wanted for r in completeness([left_out], closed=False) if not r.baseline.there]

    assert missing == [row]


def test_the_start_is_the_first_visit_at_which_anything_was_measured():
    rows = completeness([taken(keys=(), items=()), taken(1)], closed=False)

    assert {row.baseline.on for row in rows} == {START + datetime.timedelta(weeks=1)}
    assert {row.interim.there for row in rows} == {None}


def test_in_between_names_the_newest_date_and_discharge_the_last_visit():
    visits = [taken(), taken(3), taken(6), taken(9, keys=["grip_pain_free"], items=[])]

    rows = completeness(visits, closed=True)

    assert {row.interim.on for row in rows} == {START + datetime.timedelta(weeks=6)}
    assert [measure for measure, there in states(rows, "discharge").items() if there] == [
        "pain-free grip"
    ]


def test_the_last_visit_of_an_open_case_is_not_its_discharge():
    rows = completeness([taken(), taken(3)], closed=False)

    assert set(states(rows, "interim").values()) == {True}
    assert set(states(rows, "discharge").values()) == {None}


def test_a_case_closed_after_one_visit_has_nothing_at_discharge():
    rows = completeness([taken()], closed=True)

    assert set(states(rows, "discharge").values()) == {False}


def test_a_case_without_visits_says_nothing():
    assert {row.baseline.there for row in completeness([], closed=False)} == {None}


def test_visits_out_of_their_order_are_refused():
    with pytest.raises(ValueError, match="not in their order"):
        completeness([taken(1), taken(0)], closed=False)


def test_everything_is_due_at_a_first_visit_and_nothing_when_it_is_measured():
    assert due([], taken(keys=(), items=())) == tuple(Ask)
    assert due([], taken()) == ()


def test_the_short_measures_are_due_at_every_visit():
    assert due([taken()], taken(1, keys=(), items=())) == (Ask.PAIN, Ask.GRIP, Ask.TIME_OFF)


@pytest.mark.parametrize(("days", "again"), [(-1, False), (0, True)])
def test_the_long_ones_are_due_again_after_six_weeks(days, again):
    today = taken(int(AGAIN_AFTER.value), keys=(), items=(), days=days)
    asked = due([taken()], today)

    assert (Ask.QUESTIONNAIRE in asked, Ask.ACTIVITIES in asked) == (again, again)


def test_a_half_filled_questionnaire_stays_due():
    half = EVERYTHING - {"prtee", "prtee_function"}

    assert due([taken(keys=half)], taken(1, keys=half)) == (Ask.QUESTIONNAIRE,)


def test_a_later_visit_is_not_an_earlier_one():
    with pytest.raises(ValueError, match="dated later"):
        due([taken(2)], taken(1))
