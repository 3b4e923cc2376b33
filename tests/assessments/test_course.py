import datetime

import pytest

from assessments.clinical.force import Unit
from assessments.clinical.measures import BY_KEY
from assessments.clinical.pain import Context
from assessments.clinical.protocol import PAIN_FREE_STRAIGHT, Squeeze
from assessments.course import VALUES, Course, GripCourse, Measured, Moments, course_of
from assessments.lines import Point, mark_of
from assessments.results import Results
from cases.clinical.sides import Handedness, Side
from tests.factories.assessments import COMPLETE, create_grip, create_pain, create_questionnaire
from tests.factories.cases import create_case, create_signed_visit, create_visit

pytestmark = pytest.mark.django_db

START = datetime.date(2026, 3, 2)
SECOND = datetime.date(2026, 3, 16)
THIRD = datetime.date(2026, 4, 13)


@pytest.fixture
def case():
    return create_case(opened=START)


def measured(case, on, *, trials_n=(), other_n=(), items=(), **pains):
    """A signed visit with these measures."""
    visit = create_visit(case=case, on=on)
    create_pain(visit=visit, **pains)
    if trials_n:
        create_grip(visit=visit, trials_n=trials_n)
    if other_n:
        create_grip(visit=visit, side=case.affected.other, trials_n=other_n)
    if items:
        create_questionnaire(visit=visit, items=items)
    visit.sign(by=visit.practitioner, at=datetime.datetime.now(tz=datetime.UTC))
    return visit


def words(change):
    return str(change.sentence)


def test_every_measure_of_the_register_is_held_by_a_visit():
    assert VALUES.keys() == BY_KEY.keys()


def test_a_course_holds_every_visit_in_its_order(case):
    first = measured(case, START, trials_n=(118, 126, 121), items=COMPLETE, on_gripping=6)
    second = create_signed_visit(case=case, on=SECOND)

    assert course_of(case) == Course(
        affected=Side.RIGHT,
        handedness=Handedness.RIGHT,
        visits=(
            Measured(
                visit=first.pk,
                on=START,
                affected=Side.RIGHT,
                pains={Context.ON_GRIPPING: 6},
                forces_n={(PAIN_FREE_STRAIGHT, Side.RIGHT): (118.0, 126.0, 121.0)},
                squeezes={
                    (PAIN_FREE_STRAIGHT, Side.RIGHT): (
                        Squeeze(force_n=118.0),
                        Squeeze(force_n=126.0),
                        Squeeze(force_n=121.0),
                    )
                },
                answers=dict(enumerate(COMPLETE, start=1)),
            ),
            Measured(visit=second.pk, on=SECOND, affected=Side.RIGHT),
        ),
    )


def test_a_course_up_to_a_visit_leaves_out_what_came_later(case):
    first = measured(case, START, on_gripping=6)
    measured(case, SECOND, on_gripping=3)

    assert [at.visit for at in course_of(case, visit=first).visits] == [first.pk]


def test_a_line_knows_start_last_and_today(case):
    for on, value in ((START, 7), (SECOND, 5), (THIRD, 3)):
        measured(case, on, on_gripping=value)

    line = course_of(case).line("pain_on_gripping")

    assert (line.start, line.last, line.today) == (
        Point(on=START, value=7),
        Point(on=SECOND, value=5),
        Point(on=THIRD, value=3),
    )


def test_a_measure_left_out_today_keeps_its_last_value_and_shows_no_change(case):
    measured(case, START, on_gripping=7)
    measured(case, SECOND, at_rest=2)

    line = course_of(case).line("pain_on_gripping")

    assert (line.last, line.today) == (Point(on=START, value=7), None)
    assert (line.since_last, line.since_start) == (None, None)


def test_the_change_since_the_last_time_and_since_the_start_are_two(case):
    for on, value in ((START, 7), (SECOND, 5), (THIRD, 4)):
        measured(case, on, on_gripping=value)

    line = course_of(case).line("pain_on_gripping")

    assert (line.since_last.amount, line.since_start.amount) == (-1, -3)
    assert (line.since_last.beyond_error, line.since_start.beyond_error) == (False, True)


def test_a_first_value_has_nothing_to_be_compared_with(case):
    measured(case, START, on_gripping=7)

    line = course_of(case).line("pain_on_gripping")

    assert (line.since_last, line.since_start) == (None, None)


@pytest.mark.parametrize(
    ("trials_n", "expected"),
    [
        (
            (210, 218, 217),
            "Better by 93.3 N, more than the measurement error of 92 N.",
        ),
        ((205, 212, 210), "Better by 87.3 N, within the measurement error of 92 N."),
        ((210,), "Better by 88.3 N, within the measurement error of 118 N."),
        ((210, 218), "Better by 92.3 N; no published measurement error fits this comparison."),
    ],
)
def test_a_grip_change_is_set_against_the_error_of_its_number_of_trials(case, trials_n, expected):
    measured(case, START, trials_n=(118, 126, 121))
    measured(case, SECOND, trials_n=trials_n)

    line = course_of(case).line("grip_pain_free")

    assert words(line.since_start) == expected


def test_pain_reports_the_points_rule_and_the_percent_rule_each_by_itself(case):
    measured(case, START, on_gripping=8)
    measured(case, SECOND, on_gripping=6)

    change = course_of(case).line("pain_on_gripping").since_start

    assert [(met.name, met.met) for met in change.important] == [
        ("points rule, chronic pain", True),
        ("percent rule, chronic pain", False),
        ("tennis elbow, 3 months", False),
    ]


def test_a_questionnaire_change_is_reported_against_each_figure_by_name(case):
    measured(case, START, items=COMPLETE)
    measured(case, SECOND, items=(2, 4, 3, 1, 7, 3, 4, 4, 5, 2, 4, 1, 4, 4, 7))

    [(_line, reached)] = Results(course=course_of(case)).important_core

    assert [(row.name, row.since_start) for row in reached] == [
        ("a little better, points", True),
        ("a little better, percent", True),
        ("much better, points", True),
        ("much better, percent", False),
        ("tennis elbow, 3 months", False),
        ("Persian version, 4 weeks", False),
    ]


def test_grip_for_a_decision_gives_both_sides_and_their_ratio(case):
    measured(case, START, trials_n=(120, 120, 120), other_n=(300, 300, 300))
    measured(case, SECOND, trials_n=(180, 180, 180), other_n=(300, 300, 300))
    measured(case, THIRD, trials_n=(210, 210, 210), other_n=(300, 300, 300))

    assert course_of(case).grip == GripCourse(
        affected_n=Moments(start=120, last=180, today=210),
        other_n=Moments(start=300, last=300, today=300),
        ratio=Moments(start=0.4, last=0.6, today=0.7),
    )


def test_a_questionnaire_that_cannot_be_scored_is_no_value(case):
    measured(case, START, items=COMPLETE)
    measured(case, SECOND, items=(None,) * 14 + (3,))

    course = course_of(case)

    assert course.moments("prtee") == Moments(start=49, last=49, today=None)
    assert course.today.answers[15] == 3


def test_no_ratio_without_a_force_on_the_other_side(case):
    measured(case, START, trials_n=(100,), other_n=(0,))

    assert course_of(case).moments("grip_ratio") == Moments(start=None, last=None, today=None)


def test_the_ledger_marks_each_source_once(case):
    for on in (START, SECOND):
        measured(case, on, trials_n=(118, 126, 121), items=COMPLETE, on_gripping=6, at_rest=1)

    notes = course_of(case).notes

    assert [(note.mark, [str(figure) for figure in note.figures]) for note in notes] == [
        ("a", ["1.4 points"]),
        ("b", ["92 N"]),
        ("c", ["9.7 points"]),
    ]


@pytest.mark.parametrize("visits", [1, 3])
def test_a_course_costs_six_queries_however_long_it_is(case, visits, django_assert_num_queries):
    for week in range(visits):
        on = START + datetime.timedelta(weeks=week)
        measured(case, on, trials_n=(118, 126, 121), other_n=(300,), items=COMPLETE, on_gripping=6)

    with django_assert_num_queries(6):
        course_of(case)


def test_a_test_written_again_replaces_its_trials(case):
    visit = create_visit(case=case)
    create_grip(visit=visit, trials_n=(118, 126, 121))
    create_grip(visit=visit, trials_n=(130, 131), unit=Unit.KGF)

    test = visit.grip_tests.get()

    assert (test.forces_n(), test.unit) == ((130.0, 131.0), "kgf")


@pytest.mark.parametrize(
    ("place", "mark"), [(0, "a"), (25, "z"), (26, "aa"), (27, "ab"), (52, "ba"), (701, "zz")]
)
def test_no_note_goes_without_a_letter(place, mark):
    assert mark_of(place) == mark
