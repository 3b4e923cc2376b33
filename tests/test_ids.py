"""An id is one place of a page: labels, errors and notes lead to it by that name."""

import collections
import re

import pytest

from tests.browser.situations import a_clinic_at_work, pages

pytestmark = pytest.mark.django_db


def given_twice(page: str) -> list[str]:
    counts = collections.Counter(re.findall(r'\sid="([^"]+)"', page))
    return [name for name, count in counts.items() if count > 1]


def test_no_page_gives_an_id_twice(physiotherapist, manager, signed_in):
    manager.treats = True
    manager.save()
    client = signed_in(manager)

    shown = {
        address: client.get(address).content.decode()
        for address in pages(a_clinic_at_work(physiotherapist))
    }

    assert 'id="id_encoding"' in "".join(shown.values())
    assert {address: found for address, page in shown.items() if (found := given_twice(page))} == {}
