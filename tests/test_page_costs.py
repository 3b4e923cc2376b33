"""What each page costs: bytes over the line and questions to the database, each with its bound."""

import gzip
import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import resolve

from tests.browser.situations import a_clinic_at_work, pages

pytestmark = pytest.mark.django_db
TAKES_GZIP = {"accept-encoding": "gzip"}

# Compressed: a page that was never opened with all that it asks for, and any page after that.
FIRST_BYTES, LATER_BYTES = 120_000, 30_000
# How many bytes more the pages may take that draw every test or every exercise.
MORE_BYTES = {"cases:battery": 16_000, "rehab:catalog": 22_000}


@pytest.fixture
def numbers(physiotherapist, manager):
    manager.treats = True
    manager.save()
    return a_clinic_at_work(physiotherapist)


@pytest.fixture
def answers(numbers, signed_in, manager):
    """Every page as a manager who treats is shown it: its name and address, the answer, what it asked."""
    client = signed_in(manager)
    found = []
    for address in pages(numbers):
        client.get(address)  # what was never opened before is noted once
        with CaptureQueriesContext(connection) as asked:
            answer = client.get(address, headers=TAKES_GZIP)
        found.append((resolve(answer.wsgi_request.path).view_name, address, answer, list(asked)))
    return found


def asked_for(page: str) -> set[str]:
    """The static files that a page asks for, and the type that its style sheets name."""
    linked = set(re.findall(r'(?:href|src)="/static/([^"#]+)', page))
    return linked - {"icons/favicon.svg"}


def sent(file: str) -> int:
    """How many bytes a static file takes, precompressed as collectstatic does it."""
    content = Path(finders.find(file)).read_bytes()
    return min(len(content), len(gzip.compress(content, 9)))


def larger_than(bound: int, sizes: dict[tuple[str, str], int]) -> dict[tuple[str, str], int]:
    return {
        (name, address): size
        for (name, address), size in sizes.items()
        if size > bound + MORE_BYTES.get(name, 0)
    }


def test_pages_are_small(answers):
    later, first = {}, {}
    for name, address, answer, _asked in answers:
        if answer.get("Content-Encoding") == "gzip":
            page = gzip.decompress(answer.content).decode()
            later[name, address] = len(answer.content)
            first[name, address] = len(answer.content) + sum(map(sent, asked_for(page)))

    assert len(later) > 100
    assert larger_than(LATER_BYTES, later) == {}
    assert larger_than(FIRST_BYTES, first) == {}
