"""What axe-core finds on a page, and whether the page is wider than its window."""

import pathlib

from axe_playwright_python.sync_playwright import Axe

TAGS = {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
EVERYTHING = {"runOnly": TAGS}
CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}


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


def troubles_of(page, widths: tuple[int, ...]) -> list[str]:
    """What axe finds, and where the page is too wide, at each of these widths."""
    found = []
    for width in widths:
        page.set_viewport_size({"width": width, "height": 900})
        found += [f"{width}: {one}" for one in found_on(page, EVERYTHING)]
        found += [f"{width}: wider than the window"] if overflows(page) else []
    return found
