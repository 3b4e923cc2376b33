"""axe-core finds nothing on any page, at three widths, light and dark, under the page's own policy.

What takes longest is contrast. It is looked at wide and narrow, where a page has other parts, in both
schemes; everything else is the same in both, so the dark one asks for contrast alone.
"""

import pathlib

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.situations import a_clinic_at_work, pages

pytestmark = pytest.mark.django_db(transaction=True)

TAGS = {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
EVERYTHING = {"runOnly": TAGS}
BUT_CONTRAST = {"runOnly": TAGS, "rules": {"color-contrast": {"enabled": False}}}
CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
LOOKED_FOR = {
    "light": {1280: EVERYTHING, 820: BUT_CONTRAST, 390: EVERYTHING},
    "dark": {1280: CONTRAST, 820: None, 390: CONTRAST},
}


def found_on(page, rules: dict | None) -> list[str]:
    broken = Axe().run(page, options=rules).response["violations"] if rules else []
    return [f"{rule['id']}: {node['target']}" for rule in broken for node in rule["nodes"]]


def overflows(page) -> bool:
    return page.evaluate("() => document.documentElement.scrollWidth > innerWidth")


def keep_picture(page, folder: str | None, address: str, scheme: str) -> None:
    if folder:
        name = address.strip("/").replace("/", "-") or "day"
        width = page.viewport_size["width"]
        page.screenshot(path=pathlib.Path(folder) / f"{name}-{width}-{scheme}.png", full_page=True)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_any_page(person, physiotherapist, manager, scheme, pictures):
    physiotherapist.clinic.staff.filter(pk=manager.pk).update(treats=True)
    manager.refresh_from_db()
    numbers = a_clinic_at_work(physiotherapist)
    someone = person(manager, color_scheme=scheme)

    problems = []
    for address in pages(numbers):
        someone.open(address)
        for width, rules in LOOKED_FOR[scheme].items():
            someone.page.set_viewport_size({"width": width, "height": 900})
            found = found_on(someone.page, rules)
            problems += [f"{address} at {width}: {one}" for one in found]
            if overflows(someone.page):
                problems.append(f"{address} at {width}: wider than the window")
            keep_picture(someone.page, pictures, address, scheme)

    assert problems == []
    assert someone.complaints == []
