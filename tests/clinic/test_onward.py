"""Where a form leads when it is done: a path of this site, whatever its address asked for."""

import pytest
from django.test import RequestFactory

from clinic.onward import way_on

TODAY = "/"


@pytest.mark.parametrize("wanted", ["/due/", "/book/?day=2026-03-12", "/cases/7/#top"])
def test_a_path_of_this_site_is_gone_to(wanted):
    assert way_on(RequestFactory().post("/", {"next": wanted})) == wanted


@pytest.mark.parametrize(
    "wanted",
    [
        "None",
        "cases:day",
        "due/",
        "https://example.org/",
        "https://testserver/due/",
        "//example.org/",
        "/\\example.org",
        "javascript:alert(1)",
        "\t/due/",
        "",
    ],
)
def test_anything_else_leads_to_today(wanted):
    assert way_on(RequestFactory().post("/", {"next": wanted})) == TODAY
