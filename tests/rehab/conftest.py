"""A follow-up: a program of stage 2 issued 14 days before today's draft visit, its diary settled."""

import datetime

import pytest
from django.utils import timezone

from tests.cases.conftest import morning
from tests.factories.cases import create_case, create_clear_screening, create_visit
from tests.factories.rehab import create_diary, create_issued

__all__ = [
    "morning"
]  # the stopped clock of the book's tests, for the pages here that show the book

DAYS = 14


@pytest.fixture
def today(db):
    return timezone.localdate()


@pytest.fixture
def case(physiotherapist, today):
    """An open case whose screening is clear."""
    case = create_case(lead=physiotherapist, opened=today - datetime.timedelta(days=DAYS))
    create_clear_screening(case=case)
    return case


@pytest.fixture
def program(case):
    issued = timezone.now() - datetime.timedelta(days=DAYS)
    return create_issued(case=case, at=issued, version=1)


@pytest.fixture
def diary(program):
    return create_diary(program=program, days=DAYS)


@pytest.fixture
def visit(case, today, physiotherapist):
    return create_visit(case=case, on=today, practitioner=physiotherapist)
