"""What is sent compressed, to whom, and that the length of a page tells nothing of its secret."""

import gzip

import pytest
from django.urls import reverse

from tests.factories.cases import create_case
from tests.factories.rehab import create_issued
from tests.headers import faults

pytestmark = pytest.mark.django_db
TAKES = {"accept-encoding": "gzip, deflate, br"}
NAMED = 0b1000  # RFC 1952, 2.3.1: a file name follows the header


def test_a_page_comes_compressed_with_its_headers(client):
    page = client.get("/sign-in/", headers=TAKES)

    assert b"<h1" in gzip.decompress(page.content)
    assert page["Content-Encoding"] == "gzip"
    assert {"Accept-Encoding", "Cookie"} <= set(page["Vary"].split(", "))
    assert faults(page) == []


def test_a_browser_that_does_not_take_it_gets_the_page_as_it_is(client):
    page = client.get("/sign-in/")

    assert not page.has_header("Content-Encoding")
    assert b"<h1" in page.content


def test_the_length_of_a_page_with_a_secret_differs_each_time(client):
    """The file name in the header of gzip is what Django makes as long as chance has it (BREACH)."""
    answers = [client.get("/sign-in/", headers=TAKES).content for _time in range(8)]
    names = {answer[10 : answer.index(0, 10)] for answer in answers if answer[3] & NAMED}

    assert len({len(name) for name in names}) > 1


def test_paper_is_sent_as_it_is(signed_in, physiotherapist):
    """A PDF is compressed inside."""
    program = create_issued(case=create_case(lead=physiotherapist))
    address = reverse("rehab:home_program", args=[program.pk])

    paper = signed_in(physiotherapist).get(address, headers=TAKES)

    assert (paper["Content-Type"], paper.has_header("Content-Encoding")) == (
        "application/pdf",
        False,
    )
