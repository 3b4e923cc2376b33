"""The pages that say why there is no other page."""

import sqlite3

import pytest
from django.contrib.sessions.exceptions import SessionInterrupted
from django.core.exceptions import PermissionDenied
from django.db import OperationalError, connection
from django.test import Client
from django.urls import reverse

from cases.models import Contact, Patient
from clinic.trouble import MISSING
from clinic.views import failures
from tests.factories.cases import create_case
from tests.pages import TYPING

FULL = "The server&#x27;s disk is full or failing, so nothing can be saved."
PROSE = "Nobody <answered>,\ncalled twice."


@pytest.fixture
def browser(signed_in, physiotherapist):
    client = signed_in(physiotherapist)
    client.raise_request_exception = False
    return client


@pytest.fixture
def calls(physiotherapist):
    case = create_case(lead=physiotherapist)
    return reverse("cases:contacts", args=[case.pk])


@pytest.fixture
def full_disk(monkeypatch):
    def fail(*args, **kwargs):
        cause = sqlite3.OperationalError("database or disk is full")
        cause.sqlite_errorname = "SQLITE_FULL"
        raise OperationalError("database or disk is full") from cause

    monkeypatch.setattr(Contact, "save", fail)


def words(answer) -> str:
    return " ".join(answer.content.decode().split())


def test_a_full_disk_is_said_in_a_sentence_with_what_to_do(browser, calls, full_disk):
    answer = browser.post(calls, {"outcome": "reached", "note": PROSE})

    page = words(answer)
    assert (answer.status_code, answer["Retry-After"]) == (503, "60")
    assert "<h1>This could not be saved just now</h1>" in page
    assert f"{FULL} Tell whoever looks after the server." in page
    assert f"Reference {answer['X-Request-ID']}" in page
    assert answer["Cache-Control"] == "no-store"


def test_what_was_typed_can_be_sent_again_from_the_page(browser, calls, full_disk, monkeypatch):
    answer = browser.post(f"{calls}?next=/due/", {"outcome": "reached", "note": PROSE})
    monkeypatch.undo()

    page = answer.content.decode()
    kept = "Nobody &lt;answered&gt;,\ncalled twice."
    assert f'<form method="post" action="{calls}?next=/due/">' in page
    assert f'<textarea name="note" hidden>\n{kept}</textarea>' in page
    assert '<textarea name="outcome" hidden>\nreached</textarea>' in page
    assert f'<p class="typed">{kept}</p>' in page
    assert browser.post(calls, {"outcome": "reached", "note": PROSE}).status_code == 302


def test_a_form_that_saves_itself_gets_the_words_as_a_part(browser, calls, full_disk):
    answer = browser.post(calls, {"outcome": "reached"}, **TYPING)

    part = words(answer)
    assert answer.status_code == 503
    assert part.startswith('<div class="not-saved" role="alert">')
    assert FULL in part
    assert f"Reference {answer['X-Request-ID']}" in part


def test_a_page_that_reads_says_that_it_cant_be_shown(browser, monkeypatch):
    def fail(*args, **kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Patient.objects, "of", fail)

    answer = browser.get(reverse("cases:patients"))

    assert answer.status_code == 503
    assert "<h1>This can&#x27;t be shown just now</h1>" in words(answer)
    assert "Send it again" not in words(answer)


def test_a_password_is_never_put_on_a_page(client, monkeypatch, db):
    def fail(*args, **kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("clinic.views.signing_in.SignInForm", fail)
    client.raise_request_exception = False

    answer = client.post(reverse("clinic:sign_in"), {"username": "ida", "password": "not this"})

    assert answer.status_code == 503
    assert "not this" not in answer.content.decode()
    assert "Send it again" not in answer.content.decode()


def test_an_error_of_the_program_has_its_number_and_keeps_what_was_typed(
    browser, calls, monkeypatch
):
    monkeypatch.setattr(Contact, "save", lambda *args, **kwargs: 1 / 0)

    answer = browser.post(calls, {"outcome": "reached", "note": PROSE})

    page = words(answer)
    assert answer.status_code == 500
    assert "<h1>Something went wrong on our side</h1>" in page
    assert f"Reference {answer['X-Request-ID']}" in page
    assert "Send it again" in page


def test_a_session_that_cant_be_saved_is_no_bad_request(rf):
    """Django says that the session was deleted, whatever has kept it from being saved."""
    cause = sqlite3.OperationalError("disk I/O error")
    cause.sqlite_errorname = "SQLITE_IOERR_WRITE"
    interrupted = SessionInterrupted("The request's session was deleted.")
    interrupted.__context__ = cause

    assert failures.bad_request(rf.get("/"), interrupted).status_code == 503
    assert failures.bad_request(rf.get("/"), SessionInterrupted("deleted")).status_code == 400


@pytest.mark.parametrize(
    ("send", "status", "title"),
    [
        (lambda browser: browser.get("/nowhere/"), 404, "There is no such page here"),
        (
            lambda browser: browser.put("/patients/"),
            405,
            "This address can&#x27;t be opened like that",
        ),
        (
            lambda browser: browser.get("/book/new/?patient=x"),
            400,
            "This request can&#x27;t be read",
        ),
        (lambda browser: browser.get("/audit/"), 403, "This page isn&#x27;t part of your role"),
        (
            lambda browser: browser.post("/patients/new/", {"name": "x" * 3_000_000}),
            413,
            "This is more than can be sent at once",
        ),
    ],
)
def test_every_failure_has_its_page(browser, send, status, title):
    answer = send(browser)

    assert answer.status_code == status
    assert f"<h1>{title}</h1>" in words(answer)
    assert answer["Content-Type"] == "text/html; charset=utf-8"
    assert answer["X-Frame-Options"] == "DENY"
    assert "frame-ancestors 'none'" in answer["Content-Security-Policy"]


def test_a_refused_method_still_says_which_are_allowed(browser):
    assert browser.put("/patients/")["Allow"] == "GET, HEAD"


def test_an_old_form_is_told_from_a_role_that_may_not(physiotherapist):
    client = Client(enforce_csrf_checks=True)
    client.force_login(physiotherapist)

    answer = client.post("/patients/new/", {})

    assert answer.status_code == 403
    assert "<h1>This form was open too long</h1>" in words(answer)


@pytest.mark.parametrize("status", failures.WORDS)
def test_no_failure_page_asks_the_database(rf, status, django_assert_num_queries, db):
    request = rf.post("/patients/new/", {"note": PROSE})
    request.reference = "4KQ2-M9TD-7HXA"
    pages = {
        400: lambda: failures.bad_request(request, ValueError()),
        403: lambda: failures.forbidden(request, PermissionDenied()),
        404: lambda: failures.not_found(request, ValueError()),
        413: lambda: failures.bad_request(request, failures.RequestDataTooBig()),
        500: lambda: failures.server_error(request),
        405: lambda: failures.answer(request, 405, failures.WORDS[405]),
    }

    with django_assert_num_queries(0):
        answer = pages[status]()

    assert answer.status_code == status


def test_unavailable_asks_the_database_nothing(rf, django_assert_num_queries, db):
    with django_assert_num_queries(0):
        assert failures.unavailable(rf.get("/"), MISSING).status_code == 503


def test_the_person_keeps_the_way_to_other_pages_without_a_query_more(
    browser, django_assert_num_queries
):
    with django_assert_num_queries(1) as queries:  # the session, with the person and their clinic
        answer = browser.get("/nowhere/")

    assert 'href="/patients/"' in answer.content.decode()
    assert {"clinic_opensession"} == {
        table
        for table in connection.introspection.table_names()
        for query in queries.captured_queries
        if f'FROM "{table}"' in query["sql"]
    }
