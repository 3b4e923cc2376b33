import pytest

from assessments.clinical.change import Published
from assessments.clinical.measures import BY_KEY, MEASURES, CoreSet, Occasion, ReadAs
from assessments.clinical.pain import Context
from assessments.clinical.questionnaires import tennis_elbow as questionnaire
from clinic.evidence import Status

each = pytest.mark.parametrize("measure", MEASURES, ids=lambda measure: measure.key)


def figures(measure) -> tuple[Published, ...]:
    return measure.known_errors + measure.important


def test_each_key_is_used_once():
    assert list(BY_KEY) == [measure.key for measure in MEASURES]


def test_every_pain_context_has_a_row():
    rows = [measure.key for measure in MEASURES if measure.key.startswith("pain_")]

    assert rows == [f"pain_{context.value}" for context in Context]


@each
def test_figures_are_in_the_measures_unit_or_in_percent(measure):
    errors = [figure for figure in measure.errors if figure.unit != measure.unit]
    important = [row for row in measure.important if row.figure.unit not in (measure.unit, "%")]

    assert (errors, important) == ([], [])


@each
def test_every_figure_says_in_whom_how_over_which_time_and_where_it_was_found(measure):
    silent = [
        row
        for row in figures(measure)
        if not all(
            (
                row.name,
                row.population,
                row.method,
                row.horizon,
                row.figure.source,
                row.figure.status,
            )
        )
    ]

    assert silent == []


@each
def test_a_measure_has_a_range_and_is_due_some_time(measure):
    assert measure.high is None or measure.low < measure.high
    assert measure.due != ()


@each
def test_only_what_is_read_as_a_difference_or_as_itself_has_figures_of_change(measure):
    assert measure.read_as is not ReadAs.PERIOD or figures(measure) == ()


def test_the_core_set_names_what_its_table_names():
    # Bateman et al. 2022 Br J Sports Med 56(12):657–66, table 3; all of it is due from start to discharge.
    named = {
        level: [measure.key for measure in MEASURES if measure.core_set is level]
        for level in (CoreSet.CORE, CoreSet.INTERIM, CoreSet.NOT_ADOPTED)
    }

    assert named == {
        CoreSet.CORE: ["prtee"],
        CoreSet.INTERIM: [
            "pain_on_gripping",
            "grip_pain_free",
            "prtee_pain",
            "prtee_function",
            "time_off_work",
        ],
        CoreSet.NOT_ADOPTED: ["grip_maximal", "global_rating"],
    }
    always = (Occasion.BASELINE, Occasion.INTERIM, Occasion.DISCHARGE)
    assert {BY_KEY[key].due for level in list(named)[:2] for key in named[level]} == {always}


IMPORTANT = {
    "pain_on_gripping": [(2, "points"), (30, "%"), (2.3, "points")],
    "grip_pain_free": [(63.743225, "N")],
    "grip_maximal": [],
    "prtee": [
        (7, "points"),
        (22, "%"),
        (11, "points"),
        (37, "%"),
        (14.8, "points"),
        (31.33, "points"),
    ],
    "prtee_pain": [(14.5, "points")],
    "prtee_function": [(15.5, "points")],
    "activities": [(1.2, "points")],
    "global_rating": [(2, "points"), (2.5, "points")],
}
ERRORS = {
    "pain_on_gripping": [1.4],
    "grip_pain_free": [92, 133, 90, 118, 92, 79, 52, 125, 46],
    "grip_maximal": [],
    "prtee": [9.7, 14.24],
    "prtee_pain": [],
    "prtee_function": [],
    "activities": [2, 3, 1.73],
    "global_rating": [0.45],
}


@pytest.mark.parametrize("key", IMPORTANT)
def test_the_register_holds_these_figures_and_no_other(key):
    # Left out on purpose, because no paper was found behind them: 3.5 and 4 points for pain on gripping; 6.5
    # and 6.4 kg for pain-free, 1 and 8.4 kg for maximal grip in tennis elbow; 9 and 17 points for the
    # questionnaire (11/8, 4/12 for its parts); and 17 kg for grip, which its review does not explain.
    measure = BY_KEY[key]
    important = [(row.figure.value, row.figure.unit) for row in measure.important]

    assert important == [(pytest.approx(value), unit) for value, unit in IMPORTANT[key]]
    assert [figure.value for figure in measure.errors] == ERRORS[key]


def test_the_remaining_measures_have_the_figures_of_pain_or_none():
    rest = [measure for measure in MEASURES if measure.key not in IMPORTANT]
    pain = BY_KEY["pain_on_gripping"]
    same = [m.key for m in rest if figures(m) == figures(pain)]

    assert same == ["pain_at_rest", "pain_worst_24h", "pain_during_exercise", "pain_next_morning"]
    assert [m.key for m in rest if not figures(m)] == ["grip_ratio", "time_off_work"]


def test_the_only_figure_of_a_grip_that_matters_is_of_broken_wrists_and_says_so():
    (row,) = BY_KEY["grip_pain_free"].important

    assert row.population == "distal radius fracture, n = 50"
    assert row.figure.limits.startswith("not tennis elbow")


def test_what_is_from_memory_stays_from_memory():
    remembered = {
        row.figure.source
        for measure in MEASURES
        for row in figures(measure)
        if row.figure.status is Status.FROM_MEMORY
    }

    assert remembered == {
        "Poltawski & Watson, Hand Therapy 2011;16:52–57",
        "Hefford et al. 2012 J Orthop Sports Phys Ther 42:56–65",
        "Kamper et al. 2009 J Man Manip Ther 17:163–70",
    }


def test_the_limits_of_missing_items_are_the_clinics_own():
    limits = (questionnaire.MAX_MISSING_PAIN, questionnaire.MAX_MISSING_FUNCTION)

    assert [(limit.value, limit.status) for limit in limits] == [
        (1, Status.CLINIC_SETTING),
        (2, Status.CLINIC_SETTING),
    ]
