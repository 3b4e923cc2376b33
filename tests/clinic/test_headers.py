"""The headers of answers that no address gives by itself; those of each address are read in the walk over all
of them (tests/test_who_may_what.py).
"""

import pytest
from django.test import Client

from cases.views import trail
from tests.headers import faults

YEAR = 365 * 24 * 60 * 60


def refused_form(manager):
    client = Client(enforce_csrf_checks=True)
    client.force_login(manager)
    return client.post("/clinic/")


ANSWERS = {
    404: lambda _manager: Client().get("/no/such/page/"),
    301: lambda _manager: Client().get("/patients"),
    302: lambda _manager: Client().get("/patients/"),
    405: lambda _manager: Client().get("/sign-out/"),
    403: refused_form,
    400: lambda _manager: Client().get("/sign-in/", headers={"host": "elsewhere.example.org"}),
}


@pytest.mark.parametrize("status", ANSWERS)
def test_refusals_and_ways_on_carry_the_headers_too(status, manager):
    answer = ANSWERS[status](manager)

    assert (answer.status_code, faults(answer)) == (status, [])


def test_a_page_that_fails_carries_them(manager, monkeypatch):
    def fail(*_anything, **_more):
        raise RuntimeError("as a fault in the code would")

    monkeypatch.setattr(trail, "render", fail)
    client = Client(raise_request_exception=False)
    client.force_login(manager)

    answer = client.get("/audit/")

    assert (answer.status_code, faults(answer)) == (500, [])


@pytest.mark.parametrize("file", ["css/base.css", "js/keys.js", "icons/favicon.svg"])
def test_static_files_carry_them_and_may_be_kept(file, client):
    answer = client.get(f"/static/{file}")
    b"".join(answer.streaming_content)

    assert (answer.status_code, faults(answer, static=True)) == (200, [])


def test_a_missing_static_file_is_not_kept(client):
    answer = client.get("/static/css/none.css")

    assert (answer.status_code, faults(answer)) == (404, [])


@pytest.mark.django_db
def test_a_site_in_production_asks_for_https_for_a_year(client, settings):
    settings.SECURE_HSTS_SECONDS, settings.SECURE_HSTS_PRELOAD = YEAR, True
    settings.SECURE_HSTS_INCLUDE_SUBDOMAINS = settings.SECURE_SSL_REDIRECT = True

    plain, safe = client.get("/sign-in/"), client.get("/sign-in/", secure=True)

    assert (plain.status_code, plain.url) == (301, "https://testserver/sign-in/")
    assert faults(plain) == faults(safe) == []
    assert safe["Strict-Transport-Security"] == f"max-age={YEAR}; includeSubDomains; preload"
