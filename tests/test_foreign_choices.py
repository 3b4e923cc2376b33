"""A form that names a row of another clinic, in whichever of its fields: refused, and nothing of it is shown.

Each form and each query of the site, each of their fields that names a row, each number of the other clinic.
"""

from collections.abc import Iterator

import pytest
from django.db import transaction
from django.utils.datastructures import MultiValueDict

from tests.fuzz.requests import seen_forms
from tests.invariants import Rows
from tests.markers import words_of
from tests.page_forms import Form
from tests.two_clinics import Asker, create_at_work, create_marked, marks_in
from tests.who_may_what import HEAD

pytestmark = pytest.mark.django_db

# Rows that a form or a link of the site names.
NAMED = ("practitioner", "patient", "case", "program", "draft visit", "appointment", "absence")
CHOSEN = ("hidden", "select", "checkbox", "link")


def names_rows(field) -> bool:
    """Whether a field holds a number that may be a row's, and is not typed."""
    offered = [one for one in (field.value, *field.choices) if one]
    return field.kind in CHOSEN and any(one.isdecimal() for one in offered)


def naming(form: Form, number: str) -> Iterator[dict[str, list[str]]]:
    """The form as opened, but for one field that names the row."""
    opened = MultiValueDict()
    for name, value in form.as_opened():
        opened.appendlist(name, value)
    for name in {field.name for field in form.fields if names_rows(field)}:
        yield dict(opened.lists()) | {name: [number]}


def faults(answer, rows: Rows) -> Iterator[str]:
    if answer.status_code >= 500:
        yield str(answer.status_code)
    yield from rows.foreign()
    yield from marks_in(words_of(answer))


def test_a_row_of_another_clinic_can_not_be_named():
    own, other = create_at_work(), create_marked()
    head, rows = Asker(own.people[HEAD]), Rows(own.people[HEAD].clinic)
    asked, wrong = 0, []
    numbers = {str(other.numbers[row]) for row in NAMED}
    for form in seen_forms(own, HEAD):
        for values in (one for number in numbers for one in naming(form, number)):
            with transaction.atomic(), rows.watching():
                answer = head.send(form.method, form.address, values)
                wrong += [(form.address, values, fault) for fault in faults(answer, rows)]
                transaction.set_rollback(True)
            asked += 1

    assert wrong == []
    assert asked > 200
