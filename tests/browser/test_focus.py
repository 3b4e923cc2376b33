"""The focus on its way through a page: in the order of reading (WCAG 2.2, 2.4.3), never under what stays in
place (2.4.11), and always to be seen (2.4.7), with the contrast of 1.4.11, in every scheme.
"""

import itertools

import pytest
from playwright.sync_api import expect

from tests.browser.situations import a_clinic_at_work

pytestmark = pytest.mark.django_db(transaction=True)

# What has the focus, as it is seen: a key of a row of keys is drawn by its label. Inside a field of a date
# the button of the calendar has a ring of the browser's own, and the field is not :focus.
FOCUSED = """() => {
    const one = document.activeElement;
    if (one === document.body) return null;
    const drawn = one.closest(".key") ?? one;
    const { left, top, right, bottom, width, height } = drawn.getBoundingClientRect();
    const under = ([x, y]) => document.elementFromPoint(left + x * width, top + y * height);
    const spots = [[0.5, 0.5], [0.1, 0.2], [0.9, 0.2], [0.1, 0.8], [0.9, 0.8]].map(under);
    const words = drawn.textContent.trim().replace(/\\s+/g, " ").slice(0, 40);
    const { outlineStyle, outlineWidth } = getComputedStyle(drawn);
    return {
        name: `${one.tagName} ${one.name ?? ""} ${words}`,
        isFirst: one === document.querySelector("a.skip"),
        left, top: top + scrollY, bottom: bottom + scrollY,
        isSeen: spots.some((spot) => spot && (drawn.contains(spot) || spot.contains(drawn))),
        isRinged: !one.matches(":focus") || (outlineStyle !== "none" && parseFloat(outlineWidth) >= 2),
    };
}"""
# The ring against the ground, by the formula of WCAG 2.2, "contrast ratio".
RING_CONTRAST = """() => {
    const light = (color) => {
        const parts = color.match(/[\\d.]+/g).slice(0, 3).map((part) => part / 255);
        const line = (c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
        const [r, g, b] = parts.map(line);
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const ring = getComputedStyle(document.activeElement).outlineColor;
    const ground = getComputedStyle(document.body).backgroundColor;
    const [more, less] = [light(ring), light(ground)].sort((a, b) => b - a);
    return (more + 0.05) / (less + 0.05);
}"""
SIZES = [(1280, 600), (390, 600)]


@pytest.fixture
def numbers(physiotherapist):
    return a_clinic_at_work(physiotherapist)


@pytest.fixture
def someone(numbers, person, physiotherapist):
    return person(physiotherapist)


def walk(page, key: str = "Tab", most: int = 400) -> list[dict]:
    """Every stop of a key from here on, until the page begins anew."""
    steps = []
    for _press in range(most):
        page.keyboard.press(key)
        step = page.evaluate(FOCUSED)
        if step is None or (steps and step["isFirst"]):
            break
        steps.append(step)
    return steps


def problems_of(steps: list[dict]) -> list[str]:
    unseen = [f"{one['name']} is under something" for one in steps if not one["isSeen"]]
    bare = [f"{one['name']} has no ring" for one in steps if not one["isRinged"]]
    return unseen + bare


def turns_back(steps: list[dict]) -> list[str]:
    """Steps that lead up the page without leading into the next column."""
    return [
        f"from {one['name']} up to {other['name']}"
        for one, other in itertools.pairwise(steps)
        if other["bottom"] <= one["top"] + 1 and other["left"] <= one["left"]
    ]


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_tab_goes_down_the_page_as_it_is_read(someone, numbers, width, height):
    page, problems = someone.page, []
    page.set_viewport_size({"width": width, "height": height})
    visit, case = numbers["draft visit"], numbers["case"]
    for address in (
        f"/visits/{visit}/",
        f"/visits/{visit}/battery/",
        f"/book/new/?case={case}",
        "/book/",
    ):
        someone.open(address)
        steps = walk(page)
        assert len(steps) > 20
        found = problems_of(steps) + turns_back(steps)
        page.locator(".foot a").last.focus()
        found += problems_of(walk(page, "Shift+Tab", len(steps) - 1))
        problems += [f"{address}: {one}" for one in found]
    assert not problems, "\n".join(problems)


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_what_stays_in_place_hides_no_focus(someone, numbers, width, height):
    page = someone.page
    page.set_viewport_size({"width": width, "height": height})
    someone.open("/book/")
    page.locator("[data-book] tbody a").first.focus()
    keys = [("ArrowDown", 25), ("ArrowRight", 2), ("ArrowUp", 25), ("ArrowLeft", 2)]
    problems = [one for key, times in keys for one in problems_of(walk(page, key, times))]

    someone.open(f"/visits/{numbers['draft visit']}/notes/")
    page.context.set_offline(True)
    someone.type("notes-subjective", "Planed boards.")
    page.locator(".not-saved").wait_for()
    page.evaluate("() => { scrollTo(0, 0); document.querySelector('a.skip').focus(); }")
    problems += problems_of(walk(page))
    page.context.set_offline(False)

    assert not problems, "\n".join(problems)


def test_the_ring_is_seen_in_every_scheme(someone):
    page = someone.page
    someone.open("/patients/new/")
    someone.field("given_name").focus()
    for colors in ("none", "active"):
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme, forced_colors=colors)
            assert page.evaluate(RING_CONTRAST) >= 3


def test_an_error_leads_into_its_field_and_not_into_the_address(person, manager):
    """Else the page would open at that field once it is saved, below the word that says so."""
    boss = person(manager)
    page = boss.page
    boss.open("/clinic/")
    right = {"phone": ("Phone:", "+44 1632 960111"), "idle_minutes": ("Signed out when", "20")}
    for name in right:
        boss.type(name, "")
    for name, (link, value) in right.items():
        with page.expect_navigation():
            boss.press("Save")
        page.locator(".error-summary a", has_text=link).press("Enter")
        expect(boss.field(name)).to_be_focused()
        boss.type(name, value)
    with page.expect_navigation():
        boss.press("Save")

    expect(page.locator(".messages")).to_have_text("Saved.")
    expect(page.locator(".messages")).to_be_in_viewport()
    assert page.url.endswith("/clinic/")
