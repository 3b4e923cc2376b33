import pytest

from assessments.clinical.measures import BY_KEY, MEASURES
from assessments.clinical.pain import Context
from assessments.clinical.questionnaires import INSTRUMENTS


def test_each_key_is_used_once():
    assert list(BY_KEY) == [measure.key for measure in MEASURES]


def test_every_pain_context_has_a_row():
    rows = [measure.key for measure in MEASURES if measure.key.startswith("pain_")]

    assert rows == [f"pain_{context.value}" for context in Context]


@pytest.mark.parametrize("instrument", INSTRUMENTS.values(), ids=list(INSTRUMENTS))
def test_every_questionnaire_has_a_row_with_its_range(instrument):
    row = BY_KEY[instrument.key]

    assert (row.low, row.high) == (instrument.low, instrument.high)


@pytest.mark.parametrize("measure", MEASURES, ids=lambda measure: measure.key)
def test_figures_are_in_the_measures_unit_or_in_percent_and_have_a_source(measure):
    errors = [figure for figure in measure.errors if figure.unit != measure.unit]
    important = [row for row in measure.important if row.figure.unit not in (measure.unit, "%")]
    silent = [row for row in measure.important if not (row.population and row.figure.source)]

    assert (errors, important, silent) == ([], [], [])


@pytest.mark.parametrize("measure", MEASURES, ids=lambda measure: measure.key)
def test_a_measure_has_a_range(measure):
    assert measure.high is None or measure.low < measure.high
