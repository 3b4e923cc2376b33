"""The values behind the charts are one key away."""

import pytest
from django.urls import reverse

from tests.browser.keyboard import Keyboard
from tests.browser.situations import a_clinic_at_work

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize("name", ["rehab:course", "rehab:case"])
def test_one_key_opens_the_table_of_values(person, physiotherapist, name):
    numbers = a_clinic_at_work(physiotherapist)
    someone = person(physiotherapist)
    someone.open(reverse(name, args=[numbers["case"]]))

    Keyboard(someone).access("v")

    someone.page.locator("details:has(summary[accesskey=v])[open] table").wait_for()
    assert someone.page.locator("details[open]").count() == 1
