"""Every page at 320 CSS pixels, its folds open: it reflows (WCAG 2.2, 1.4.10), its targets are large
enough (2.5.8; test_accessibility.py looks at them with folds shut), what scrolls in it can be scrolled by
keys (2.1.1), every control has words that are seen, and a reader's own spacing of the text fits (1.4.12).
"""

import pytest

from tests.browser.axe import found_on, overflows
from tests.browser.situations import a_clinic_at_work, pages

pytestmark = pytest.mark.django_db(transaction=True)

AT_320 = ["target-size", "scrollable-region-focusable"]
NARROW = {"runOnly": {"type": "rule", "values": AT_320}}
WITHOUT_WORDS = """() => {
    const seen = (one) => {
        const box = one?.getBoundingClientRect();
        return box && box.width > 2 && box.height > 2 && one.innerText.trim() !== "";
    };
    const inTable = (control) => {
        const cell = control.closest("td, th"), row = cell?.closest("tr"), table = row?.closest("table");
        return table && ([...row.querySelectorAll("th")].some(seen)
            || seen(table.tHead?.rows[table.tHead.rows.length - 1]?.cells[cell.cellIndex]));
    };
    const named = (control) => control.matches("button, summary") ? seen(control)
        : [...(control.labels ?? [])].some(seen)
            || (control.getAttribute("aria-labelledby") ?? "").split(" ").some(
                (id) => seen(document.getElementById(id)))
            || inTable(control);
    return [...document.querySelectorAll("input:not([type=hidden]), select, textarea, button")]
        .filter((control) => control.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
        .filter((control) => !control.closest(".hidden-word, [aria-hidden=true]"))
        .filter((control) => !["submit", "button"].includes(control.type) || control.matches("button"))
        .filter((control) => !named(control))
        .map((control) => `${control.tagName} ${control.name} ${control.className}`);
}"""
# The four spacings of 1.4.12. A style sheet made by script is one that the pages' policy lets in.
SPACE_THE_TEXT = """() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`
        * { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important }
        p { margin-block-end: 2em !important }
    `);
    document.adoptedStyleSheets.push(sheet);
}"""
# Words that stand out of a key, a button or a cell are over something else, or cut off.
CUT_OFF = """() => [...document.querySelectorAll("main :is(.key, .button, label, legend, summary, th, td)")]
    .filter((one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
    .filter((one) => !one.closest(".hidden-word, .fold thead, .trials-table thead, [data-book]"))
    .filter((one) => one.innerText.trim() && one.clientWidth && one.scrollWidth > one.clientWidth + 2)
    .map((one) => `${one.tagName} ${one.className} ${one.innerText.trim()}`)"""
# In the narrowest column of work, a table that needs more room lies on the notes beside it.
OUT_OF_ITS_COLUMN = """() => [...document.querySelectorAll("main table")]
    .filter((one) => one.checkVisibility() && !one.closest(".scroll, .sample, [data-book]"))
    .filter((one) => one.getBoundingClientRect().right
        > one.closest(".body, .notes, .margin, .work, main").getBoundingClientRect().right + 1)
    .map((one) => one.className)"""
BESIDE_THE_MARGIN = 1024
OPEN_FOLDS = "() => document.querySelectorAll('main details').forEach(one => { one.open = true; })"


def test_controls_have_words_and_room_and_pages_fit_a_narrow_window(
    person, physiotherapist, manager
):
    physiotherapist.clinic.staff.filter(pk=manager.pk).update(treats=True)
    manager.refresh_from_db()
    someone = person(manager)
    someone.hold_work()
    page, problems = someone.page, []

    for address in pages(a_clinic_at_work(physiotherapist)):
        someone.open(address)
        page.evaluate(OPEN_FOLDS)
        for width in (BESIDE_THE_MARGIN, 700):
            page.set_viewport_size({"width": width, "height": 900})
            problems += [
                f"{address}: {one} stands out at {width}"
                for one in page.evaluate(OUT_OF_ITS_COLUMN)
            ]
        page.set_viewport_size({"width": 320, "height": 900})
        problems += [f"{address}: {one}" for one in found_on(page, NARROW)]
        problems += [
            f"{address}: no words seen beside {one}" for one in page.evaluate(WITHOUT_WORDS)
        ]
        if overflows(page):
            problems.append(f"{address}: wider than 320 pixels")
        page.evaluate(SPACE_THE_TEXT)
        for width in (320, 390):
            page.set_viewport_size({"width": width, "height": 900})
            if overflows(page):
                problems.append(f"{address}: wider than {width} pixels with the text spaced")
            problems += [
                f"{address}: {one} is cut off at {width}" for one in page.evaluate(CUT_OFF)
            ]

    assert not problems, "\n".join(problems)
