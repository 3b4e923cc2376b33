"""How cases end: the median counts those without a visit, and needs enough cases."""

import statistics

import pytest

from rehab.clinical.caseload import MIN_FOR_SHARE
from rehab.clinical.endings import Ending

ENOUGH = int(MIN_FOR_SHARE.value)


@pytest.mark.parametrize("without", range(0, ENOUGH, 3))
def test_the_median_is_that_of_the_standard_library(without):
    many = [0] * without + [3] * 4 + [7] * (ENOUGH - without)
    visits = {0: without, 3: 4, 7: ENOUGH - without}

    assert Ending(cases=len(many), visits=visits).median_visits == statistics.median(many)


@pytest.mark.parametrize("ended", [0, 1, ENOUGH - 1])
def test_too_few_that_ended_have_none(ended):
    assert Ending(cases=1000, visits={2: ended}).median_visits is None
