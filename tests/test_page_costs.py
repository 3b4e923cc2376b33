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
OF_TRANSACTIONS = ("SAVEPOINT", "RELEASE", "BEGIN", "COMMIT")
TAKES_GZIP = {"accept-encoding": "gzip"}

# Compressed: a page that was never opened with all that it asks for, and any page after that.
FIRST_BYTES, LATER_BYTES = 120_000, 30_000

# Questions to the database, the line in the audit trail among them: a list, and any other page.
LIST_QUERIES, PAGE_QUERIES = 8, 12
LISTS = {
    "cases:absences", "cases:audit", "cases:book", "cases:closed_days", "cases:day", "cases:imports",
    "cases:mail", "cases:mail_texts", "cases:patients", "cases:to_move", "cases:week",
    "clinic:backups", "clinic:own_sign_ins", "clinic:sign_ins", "clinic:staff",
    "rehab:caseload", "rehab:catalog", "rehab:corrections", "rehab:due", "rehab:packs",
    "rehab:records_due", "rehab:records_erased", "rehab:thresholds",
}  # fmt: skip
# Pages that ask more, and how often today.
# fmt: off
MORE_QUERIES = {
    "rehab:case": 21, "rehab:course": 13, "rehab:decision": 19, "rehab:referral": 17,
    "rehab:sign": 17, "rehab:summary_page": 24, "rehab:visit": 20,
}
# fmt: on


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
    return {(name, address): size for (name, address), size in sizes.items() if size > bound}


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


def test_pages_ask_the_database_little(answers):
    bounds = {name: LIST_QUERIES for name in LISTS} | MORE_QUERIES
    counts = {
        (name, address): sum(not query["sql"].startswith(OF_TRANSACTIONS) for query in asked)
        for name, address, _answer, asked in answers
    }

    too_many = {page: n for page, n in counts.items() if n > bounds.get(page[0], PAGE_QUERIES)}

    assert too_many == {}
    assert {name for name, _address in counts} >= LISTS | MORE_QUERIES.keys()
