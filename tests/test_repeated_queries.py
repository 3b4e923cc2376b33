"""The guard against a query for each row: that it can fail."""

import pytest
import zeal

from cases.models import Case
from tests.factories.cases import create_case


def test_a_query_for_each_row_is_caught(physiotherapist):
    for _number in range(3):
        create_case(clinic=physiotherapist.clinic)
    with zeal.zeal_context(), pytest.raises(zeal.NPlusOneError):
        [case.patient.family_name for case in Case.objects.all()]
