"""The log's lines: what they say of a request, and what they never say."""

import json
import logging
import re

import pytest
from django.db import IntegrityError
from django.urls import reverse

from cases.models import Contact
from clinic.logs import JsonLines
from tests.factories.cases import create_case, create_patient

SECRET = "Hurts when planing boards"


@pytest.fixture
def lines(caplog):
    """Return the lines that were written, read as JSON."""
    caplog.set_level(logging.INFO)
    return lambda: [json.loads(JsonLines().format(record)) for record in caplog.records]


def of_requests(lines):
    return [line for line in lines() if line["logger"] == "clinic.requests"]


def test_a_line_says_when_who_which_page_and_with_what_outcome(signed_in, physiotherapist, lines):
    patient = create_patient(clinic=physiotherapist.clinic)

    answer = signed_in(physiotherapist).get(f"/patients/{patient.pk}/?q={SECRET}")

    (line,) = of_requests(lines)
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", line.pop("time"))
    assert line.pop("ms") > 0
    assert line == {
        "level": "INFO",
        "logger": "clinic.requests",
        "request": answer["X-Request-ID"],
        "method": "GET",
        "route": "cases:patient",
        "status": 200,
        "user": physiotherapist.pk,
    }


def test_nobody_is_looked_up_for_the_log(client, db, django_assert_num_queries, lines):
    with django_assert_num_queries(0):
        client.get(reverse("clinic:sign_in"))

    assert [line["user"] for line in of_requests(lines)] == [None]


def fail(*args, **kwargs):
    raise IntegrityError(f"DETAIL: Failing row contains (4, {SECRET}).")


def test_an_exception_leaves_its_places_and_no_word_of_what_it_says(
    signed_in, physiotherapist, lines, monkeypatch
):
    case = create_case(lead=physiotherapist)
    client = signed_in(physiotherapist)
    client.raise_request_exception = False
    monkeypatch.setattr(Contact, "save", fail)

    answer = client.post(
        f"/cases/{case.pk}/calls/?q={SECRET}", {"outcome": "reached", "note": SECRET}
    )

    assert answer.status_code == 500
    (line,) = of_requests(lines)
    assert (line["level"], line["request"]) == ("ERROR", answer["X-Request-ID"])
    (error,) = line["errors"]
    assert error["type"] == "django.db.utils.IntegrityError"
    assert re.fullmatch(r"tests/clinic/test_logs\.py:\d+ fail", error["at"][-1])
    assert any(re.match(r"cases/views/contacts\.py:\d+ contacts", at) for at in error["at"])
    for words in (SECRET, f"/cases/{case.pk}/", "outcome"):
        assert words not in json.dumps(line)


def test_other_loggers_say_where_and_nothing_that_was_filled_in():
    record = logging.LogRecord(
        "django.security.csrf", 30, "/x/django/utils/log.py", 9, "Forbidden: %s", (SECRET,), None
    )
    whole = logging.LogRecord("reader", 30, "/x/reader.py", 12, f"Odd: {SECRET}", (), None)

    told = [json.loads(JsonLines().format(one)) for one in (record, whole)]

    assert [(one["at"], one.get("message")) for one in told] == [
        ("log.py:9", "Forbidden: %s"),
        ("reader.py:12", None),
    ]
