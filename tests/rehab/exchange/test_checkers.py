"""What leaves is accepted by checkers that the project has not written, for cases of every kind."""

from hypothesis import HealthCheck, given, settings

from rehab.exchange.document import document
from rehab.exchange.reading import read
from tests.rehab.exchange.generated import SOURCES, cases
from tests.rehab.exchange.hl7.check import findings

SLOW = (HealthCheck.too_slow, HealthCheck.data_too_large)


@settings(max_examples=500, suppress_health_check=SLOW)
@given(cases(), SOURCES)
def test_independent_checkers_accept_five_hundred_cases(record, source):
    assert list(findings(document(record, source))) == []


@settings(max_examples=100, suppress_health_check=SLOW)
@given(cases(), SOURCES)
def test_what_is_read_back_is_the_same_case(record, source):
    assert read(document(record, source)) == record
