"""A clinic on its first day: each page says what is missing, and leads on to what its reader may do."""

import re

import pytest
from django.urls import reverse

from clinic.models import Staff
from tests.test_page_costs import LISTS

pytestmark = pytest.mark.django_db

EMPTY = re.compile(r'<div class="empty">(.*?)</div>', re.DOTALL)


@pytest.fixture(params=["physiotherapist", "front_desk", "manager"])
def somebody(request) -> Staff:
    return request.getfixturevalue(request.param)


def lists_of(client) -> dict[str, str]:
    """The list pages that somebody may open, by address."""
    answers = {address: client.get(address) for address in map(reverse, sorted(LISTS))}
    return {at: one.content.decode() for at, one in answers.items() if one.status_code == 200}


def test_what_an_empty_list_leads_to_opens_for_its_reader(signed_in, somebody):
    client = signed_in(somebody)
    empty = {
        (at, link)
        for at, page in lists_of(client).items()
        for one in EMPTY.findall(page)
        for link in re.findall(r'href="([^"]+)"', one)
    }

    assert len(empty) > 3
    shut = {(at, link) for at, link in empty if client.get(link).status_code != 200}
    assert shut == set()


def test_no_page_counts_nothing(signed_in, somebody):
    """“0 patients on record” says less than that nobody is registered yet."""
    pages = lists_of(signed_in(somebody))
    leads = {
        at: re.search(r'<div class="lead">(.*?)</div>', page, re.DOTALL)[1]
        for at, page in pages.items()
    }

    assert len(leads) > 5
    assert [at for at, lead in leads.items() if re.search(r">\s*0 \w", lead)] == []
