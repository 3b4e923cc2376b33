"""The pages of a visit and a booking as a screen reader goes through them: by headings, tables and names."""

import collections
import itertools
import re

import pytest

from tests.browser.situations import a_clinic_at_work
from tests.browser.test_labels_and_reflow import OPEN_FOLDS

pytestmark = pytest.mark.django_db(transaction=True)

LEVELS = """() => [...document.querySelectorAll("h1, h2, h3, h4, h5, h6")]
    .filter((one) => one.checkVisibility()).map((one) => [Number(one.tagName[1]), one.innerText.trim()])"""
# A table that is alone in a region with a name has that name.
UNNAMED_TABLES = """() => {
    const seen = [...document.querySelectorAll("main table")].filter((one) => one.checkVisibility());
    const named = (one) => one.caption?.innerText.trim() || one.ariaLabel
        || document.getElementById(one.getAttribute("aria-labelledby"))?.innerText.trim();
    const region = (one) => one.closest("[role=region], section[aria-labelledby]");
    const isAlone = (one) => region(one) && seen.filter((other) => region(one).contains(other)).length === 1;
    return seen.filter((one) => !named(one) && !isAlone(one)).map((one) => one.innerText.slice(0, 60));
}"""
# A row that speaks twice when it is saved is one that nobody listens to.
ROWS_THAT_SPEAK_TWICE = """() => [...document.querySelectorAll("main tr")]
    .filter((one) => one.querySelectorAll("[role=status], [role=alert], [aria-live], output").length > 1)
    .map((one) => one.innerText)"""


def skipped(levels: list) -> list[str]:
    pairs = itertools.pairwise([[0, "the page"], *levels])
    return [f"{two[1]} (h{two[0]}) after h{one[0]}" for one, two in pairs if two[0] > one[0] + 1]


def said_twice(page) -> list[str]:
    """Buttons of one name: heard in a list of them, nobody can tell which is which."""
    names = re.findall(r'- button "([^"]+)"', page.locator("main").aria_snapshot())
    return [
        f"{name}: {count} buttons"
        for name, count in collections.Counter(names).items()
        if count > 1
    ]


def test_headings_tables_and_buttons_make_sense_without_the_page_in_sight(person, physiotherapist):
    numbers = a_clinic_at_work(physiotherapist)
    visit, case = numbers["draft visit"], numbers["case"]
    someone = person(physiotherapist)
    page, problems = someone.page, []
    for address in (
        f"/visits/{visit}/",
        f"/visits/{visit}/measures/",
        f"/visits/{visit}/battery/",
        f"/cases/{case}/",
        f"/cases/{case}/intake/",
        f"/cases/{case}/screening/",
        f"/book/new/?case={case}",
        f"/programs/{numbers['program']}/home-program/",
    ):
        someone.open(address)
        page.evaluate(OPEN_FOLDS)
        page.wait_for_load_state("networkidle")
        found = skipped(page.evaluate(LEVELS)) + said_twice(page)
        found += [f"a table without a name: {one}" for one in page.evaluate(UNNAMED_TABLES)]
        found += [f"speaks twice: {one}" for one in page.evaluate(ROWS_THAT_SPEAK_TWICE)]
        problems += [f"{address}: {one}" for one in found]
    assert not problems, "\n".join(problems)
    assert page.get_by_role("main").count() == 1
