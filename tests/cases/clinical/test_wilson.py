"""The score interval against SciPy's; the printed rows are in tests/published/test_likelihood.py."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from cases.clinical.likelihood import wilson_interval

counts = st.integers(1, 2000).flatmap(
    lambda total: st.tuples(st.integers(0, total), st.just(total))
)


@given(counts, st.sampled_from([0.8, 0.9, 0.95, 0.99]))
def test_the_interval_is_scipys(count_of_total, confidence):
    ours = wilson_interval(*count_of_total, z=stats.norm.ppf((1 + confidence) / 2))
    theirs = stats.binomtest(*count_of_total).proportion_ci(confidence, method="wilson")

    assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


@given(counts)
def test_the_interval_of_the_rest_is_the_mirrored_one(count_of_total):
    count, total = count_of_total
    here, rest = wilson_interval(count, total), wilson_interval(total - count, total)

    assert (here.low, here.high) == pytest.approx((1 - rest.high, 1 - rest.low), abs=1e-12)


@given(counts)
def test_the_interval_holds_the_share_and_stays_within_all(count_of_total):
    count, total = count_of_total
    interval = wilson_interval(count, total)

    assert 0 <= interval.low <= count / total <= interval.high <= 1
