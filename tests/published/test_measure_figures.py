"""Every figure of the outcome measures, with its status, against the sources.

Hill 2023 Physiother Theory Pract 39(5):1007–15; Dorf 2007 J Hand Surg Am 32(6):882–6; Petersen 1989 Am J
Occup Ther 43:444–7; Kim 2014 Clin Orthop Relat Res 472:2536–41; Farrar 2001 Pain 94:149–58; doi
10.1080/09593985.2025.2450090; Stratford 1995 Physiother Can 47:258–63; abjs.mums.ac.ir/article_21013;
Shafiee 2020; doi 10.1186/s12891-019-2711-0 (rest of 60 s). An Arabic version, n = 139; a Portuguese one
in Bobos 2020 J Orthop 21:40–8. From memory: Poltawski & Watson 2011, Kamper 2009, 1.2 of Hefford 2012.
The clinic's own settings: what has no published limit.
"""

import pytest

from assessments.clinical import (
    activities,
    completeness,
    dominance,
    force,
    global_rating,
    grip,
    grip_questions,
    pain,
    protocol,
    time_off,
)
from assessments.clinical.measures import BY_KEY
from assessments.clinical.questionnaires import tennis_elbow
from cases.clinical.sides import Handedness
from clinic.evidence import Status

from .printed import numbers

PUBLISHED, MEMORY = Status.PUBLISHED, Status.FROM_MEMORY
SETTING, CONVENTION = Status.CLINIC_SETTING, Status.CONVENTION
GLOBAL = BY_KEY["global_rating"]
TOTAL = [row.figure for row in tennis_elbow.TOTAL_IMPORTANT]

# fmt: off
FIGURES = (
    # figure, printed, unit, status, numbers of its limits
    (force.N_PER_KGF, 9.80665, "N/kgf", PUBLISHED, ()),
    (force.KG_PER_LB, 0.45359237, "kg/lb", PUBLISHED, ()),
    (dominance.DOMINANT_STRONGER[Handedness.RIGHT], 12.72, "%", PUBLISHED, (0.1, 3, 10)),
    (dominance.DOMINANT_STRONGER[Handedness.LEFT], -0.08, "%", PUBLISHED, (0,)),
    (protocol.LOW_GRIP, 60, "N", SETTING, ()),
    (grip.SPREAD_LIMIT, 20, "%", SETTING, ()),
    (grip.PLAUSIBLE_N[0], 0, "N", CONVENTION, ()),
    (grip.PLAUSIBLE_N[1], 1000, "N", CONVENTION, ()),
    (grip.ELBOW_DIFFERENCE, 8, "%", PUBLISHED, (83, 81)),         # 83 % accurate in 81 patients
    (grip.AUTHORS_RULE_BETWEEN_VISITS, 92, "N", PUBLISHED, ()),   # Hill 2023, conclusion
    (grip.AUTHORS_RULE_WITHIN_VISIT, 52, "N", PUBLISHED, ()),
    (pain.PAIN_ERROR, 1.4, "points", PUBLISHED, (90, 143, 3, 0.54, 0.17, 0.78)),
    (pain.POINTS_RULE.figure, 2, "points", PUBLISHED, ()),        # Farrar 2001
    (pain.PERCENT_RULE.figure, 30, "%", PUBLISHED, ()),
    (pain.TENNIS_ELBOW_RULE.figure, 2.3, "points", PUBLISHED, (3,)),  # in whole points
    (tennis_elbow.MAX_MISSING_PAIN, 1, "items", SETTING, (5,)),
    (tennis_elbow.MAX_MISSING_FUNCTION, 2, "items", SETTING, (10,)),
    (tennis_elbow.TOTAL_ERROR, 9.7, "points", PUBLISHED, (90, 143, 3, 0.62, 0.21, 0.86)),
    (tennis_elbow.TOTAL_ERROR_PERSIAN, 14.24, "points", PUBLISHED, (5.40, 14.97)),
    (TOTAL[0], 7, "points", MEMORY, ()), (TOTAL[1], 22, "%", MEMORY, ()),   # a little better
    (TOTAL[2], 11, "points", MEMORY, ()), (TOTAL[3], 37, "%", MEMORY, ()),  # much better
    (TOTAL[4], 14.8, "points", PUBLISHED, ()),
    (TOTAL[5], 31.33, "points", PUBLISHED, ()),
    (tennis_elbow.PAIN_IMPORTANT[0].figure, 14.5, "points", PUBLISHED, ()),  # Persian version, n = 82
    (tennis_elbow.FUNCTION_IMPORTANT[0].figure, 15.5, "points", PUBLISHED, ()),
    (GLOBAL.errors[0], 0.45, "points", MEMORY, (11, 5, 5)),       # 11 points, −5 to +5
    (GLOBAL.important[0].figure, 2, "points", MEMORY, ()),
    (global_rating.IMPORTANT[1].figure, 2.5, "points", Status.SECOND_HAND, (3,)),  # whole points
    (activities.MEAN_ERROR, 2, "points", PUBLISHED, (90, 2)),
    (activities.ONE_ACTIVITY_ERROR, 3, "points", PUBLISHED, (90, 3)),
    (activities.UPPER_LIMB_ERROR, 1.73, "points", PUBLISHED, (0.74, 90, 95, 2.05)),
    (activities.IMPORTANT[0].figure, 1.2, "points", MEMORY, ()),
    (protocol.REST[30], 30, "s", PUBLISHED, ()),
    (protocol.REST[60], 60, "s", PUBLISHED, ()),
    (grip_questions.SWAPPED, 1.5, "times", SETTING, ()),
    (grip_questions.UNIT_TOLERANCE, 10, "%", SETTING, ()),
    (time_off.FIRST_WINDOW, 28, "days", SETTING, ()),
    (completeness.AGAIN_AFTER, 6, "weeks", SETTING, ()),
)
STUDIES = (
    # important change: population, method, horizon
    (pain.POINTS_RULE, (10, 2724), (), ()), (pain.PERCENT_RULE, (10, 2724), (), ()),
    (pain.TENNIS_ELBOW_RULE, (143,), (0.94,), (3,)),
    (tennis_elbow.TOTAL_IMPORTANT[4], (143,), (0.96,), (3,)),
    (tennis_elbow.TOTAL_IMPORTANT[5], (82,), (7, 0.87), (4,)),
    (grip.GRIP_IMPORTANT[0], (50,), (), (1,)),
    (activities.IMPORTANT[0], (180,), (0.887,), ()),
    (global_rating.IMPORTANT[1], (), (11,), ()),
)
WITHIN, BETWEEN = (20, 30), (2, 28)  # minutes, days
ERRORS = {
    # measure: population and horizon of each published error, the one that judges first
    "pain_at_rest": [((143,), (3,))],
    "grip_pain_free": [((23,), BETWEEN)] * 5 + [((23,), WITHIN)] * 4,
    "prtee": [((143,), (3,)), ((90,), ())],
    "activities": [((), ()), ((), ()), ((139,), ())],
    "global_rating": [((), ())],
}
WAYS = {
    # way of squeezing: degrees of the elbow; position of the handle; weeks after a steroid injection, which
    # are usual practice, from memory
    "pain_free": (), "pain_free_bent": (90, 90), "maximal": (90, 90, 2, 1, 2),
}
SCALES = {
    # measure: lowest, highest
    "pain_at_rest": (0, 10), "pain_worst_24h": (0, 10), "pain_on_gripping": (0, 10),
    "pain_during_exercise": (0, 10), "pain_next_morning": (0, 10),
    "grip_pain_free": (0, 1000), "grip_maximal": (0, 1000), "grip_ratio": (0, None),
    "prtee": (0, 100), "prtee_pain": (0, 50), "prtee_function": (0, 50),
    "activities": (0, 10), "global_rating": (-5, 5), "time_off_work": (0, None),
}
# fmt: on


def test_every_measure_has_its_scale_here():
    assert SCALES.keys() == BY_KEY.keys()


@pytest.mark.parametrize(("figure", "printed", "unit", "status", "limits"), FIGURES)
def test_a_figure_of_a_measure_is_as_it_is_printed(figure, printed, unit, status, limits):
    assert (figure.value, figure.unit, figure.status) == (printed, unit, status)
    assert numbers(figure.limits) == limits


@pytest.mark.parametrize(("row", "population", "method", "horizon"), STUDIES)
def test_an_important_change_names_its_study(row, population, method, horizon):
    assert numbers(row.population) == population
    assert (numbers(row.method), numbers(row.horizon)) == (method, horizon)


def test_at_most_five_activities_are_rated_from_0_to_10():
    # The published form: up to three, with room for five; 0 unable, 10 as before.
    assert (activities.LOW, activities.HIGH, activities.MAX_ACTIVITIES) == (0, 10, 5)


def test_the_change_after_a_broken_wrist_is_six_and_a_half_kilograms():
    # Kim 2014: 6.5 kg, newtons computed.
    figure = grip.GRIP_IMPORTANT[0].figure

    assert (figure.value, figure.status) == (pytest.approx(63.743225), Status.COMPUTED)
    assert "(6.5 kg)" in figure.source


def test_each_row_of_the_grip_error_names_its_sample_and_time_between():
    # Hill 2023: 23 people, 20–30 minutes or 2–28 days apart.
    limits = {row.within_visit: numbers(row.figure.limits) for row in grip.GRIP_ERRORS}

    assert limits == {True: (23, 20, 30), False: (23, 2, 28)}


def test_the_dominance_of_310_people_was_measured():
    # Petersen 1989.
    assert dominance.DOMINANT_STRONGER[Handedness.RIGHT].source.endswith("n = 310")


@pytest.mark.parametrize(("key", "printed"), ERRORS.items())
def test_a_measurement_error_names_its_study(key, printed):
    rows = BY_KEY[key].known_errors

    assert [(numbers(row.population), numbers(row.horizon)) for row in rows] == printed


@pytest.mark.parametrize(
    ("key", "method"),
    # Share of certainty and agreement with its interval; Hill 2023 gives 95 %, the others 90 %.
    [
        ("pain_at_rest", (90, 0.54, 0.17, 0.78)),
        ("grip_pain_free", (95,)),
        ("prtee", (90, 0.62, 0.21, 0.86)),
        ("activities", (90,)),
        ("global_rating", (11,)),
    ],
)
def test_the_error_that_judges_says_how_it_was_found(key, method):
    assert numbers(BY_KEY[key].known_errors[0].method) == method


@pytest.mark.parametrize("way", protocol.WAYS, ids=lambda way: way.slug)
def test_a_way_of_squeezing_shows_the_printed_position(way):
    # Hill 2023: elbow straight or at 90 degrees. Hand therapists, in Bohannon 2006: 90 degrees, handle 2.
    assert numbers(way.name, *way.steps) == WAYS[way.slug]


@pytest.mark.parametrize(("key", "scale"), SCALES.items())
def test_a_measure_has_the_printed_scale(key, scale):
    assert (BY_KEY[key].low, BY_KEY[key].high) == scale


def test_the_questionnaire_has_the_printed_items():
    # Published for the wrist form by the same author: 5 pain items, 6 and 4 of function.
    parts = (tennis_elbow.PAIN, tennis_elbow.SPECIFIC, tennis_elbow.USUAL)

    assert [len(part) for part in parts] == [5, 6, 4]
    assert (tennis_elbow.LOW, tennis_elbow.HIGH) == (0, 10)
