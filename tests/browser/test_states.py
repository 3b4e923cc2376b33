"""axe-core finds nothing in the states that a page isn't opened in: a refused form, a dialog, what a form
that saves itself says when it can't, open folds, the colors of the reader's own system, and paper.

test_accessibility.py looks at every page as it opens, test_session_end.py at the end of a session.
"""

import pytest
from django.urls import reverse

from cases.models import Visit
from tests.browser.axe import CONTRAST, EVERYTHING, found_on, overflows
from tests.browser.situations import a_clinic_at_work
from tests.browser.test_labels_and_reflow import OPEN_FOLDS

pytestmark = pytest.mark.django_db(transaction=True)

# What nobody may leave empty is emptied, and numbers and dates are none.
SPOIL = """() => {
    const choices = ["radio", "checkbox", "hidden", "submit", "button", "file"];
    const forms = "main form[method=post] :is(input, select, textarea)";
    for (const one of document.querySelectorAll(forms)) {
        const isNumber = one.type === "number" || ["numeric", "decimal"].includes(one.inputMode);
        if (choices.includes(one.type)) continue;
        if (isNumber) one.type = "text";
        one.value = isNumber ? "x" : one.type === "email" ? "nobody" : "";
    }
}"""
# Sent as without the script of a form that saves itself: the whole page comes back.
SEND = """() => {
    const forms = [...document.querySelectorAll("main form[method=post]")];
    const form = forms.find((one) => one.elements.length > 2);
    const done = form.querySelector("button[name]");
    if (done) {
        const field = Object.assign(document.createElement("input"), { type: "hidden" });
        form.append(Object.assign(field, { name: done.name, value: done.value }));
    }
    HTMLFormElement.prototype.submit.call(form);
}"""
REFUSED = [
    ("clinic:clinic", None),
    ("clinic:invite", None),
    ("cases:patient_new", None),
    ("cases:closed_days", None),
    ("cases:intake", "case"),
    ("assessments:measures", "draft visit"),
    ("rehab:diary", "case"),
    ("rehab:correction", "correction"),
    ("rehab:catalog_new", None),
]
OWN_COLORS = [
    ("rehab:course", "case"),
    ("cases:book", None),
    ("rehab:decision", "draft visit"),
]
FOLDED = [
    ("cases:battery", "draft visit"),
    ("rehab:decision", "draft visit"),
]
ON_PAPER = [
    ("rehab:case", "case"),
    ("rehab:course", "case with a draft program"),
    ("rehab:summary_page", "case"),
    ("rehab:home_program_page", "program"),
    ("rehab:history", "case"),
    ("cases:book", None),
    ("clinic:glossary", None),
]


def address(numbers: dict, name: str, which: str | None) -> str:
    return reverse(name, args=[numbers[which]] if which else [])


def found_in_both_schemes(page) -> list[str]:
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found += found_on(page, EVERYTHING if scheme == "light" else CONTRAST)
    return found


@pytest.fixture
def numbers(physiotherapist, manager):
    physiotherapist.clinic.staff.filter(pk=manager.pk).update(treats=True)
    manager.refresh_from_db()
    return a_clinic_at_work(physiotherapist)


@pytest.fixture
def someone(numbers, person, manager):
    return person(manager)


def test_a_short_form_without_a_summary_is_entered_where_it_is_wrong(someone, numbers):
    someone.open(f"/book/{numbers['appointment']}/cancel/")
    with someone.page.expect_navigation():
        someone.press("Cancel the appointment")
    someone.wait_at("[name=reason]")


def test_refused_forms(someone, numbers):
    page, problems = someone.page, []
    for name, which in REFUSED:
        someone.open(address(numbers, name, which))
        page.evaluate(SPOIL)
        with page.expect_navigation():
            page.evaluate(SEND)
        # The title is read first, and says it; the summary has the focus.
        if not page.title().strip().startswith("Error:"):
            problems.append(f"{name}: the title does not say that something is wrong")
        if not page.evaluate("() => document.activeElement.matches('.error-summary')"):
            problems.append(f"{name}: the summary of errors has not the focus")
        problems += [f"{name}: {one}" for one in found_on(page, EVERYTHING)]
        page.set_viewport_size({"width": 320, "height": 900})
        if overflows(page):
            problems.append(f"{name}: wider than 320 pixels")
        page.set_viewport_size({"width": 1280, "height": 900})

    assert not problems, "\n".join(problems)


def test_the_keys_of_a_page_and_what_is_said_beside_a_form_that_saves_itself(someone, numbers):
    page, visit = someone.page, numbers["draft visit"]
    someone.open(f"/visits/{visit}/notes/")
    page.locator("main").focus()
    page.keyboard.press("?")
    page.get_by_role("dialog", name="Keys on this page").wait_for()
    problems = found_in_both_schemes(page)
    page.keyboard.press("Escape")

    Visit.objects.filter(pk=visit).update(subjective="Written by a colleague.")
    someone.type("notes-subjective", "Written here.")
    page.get_by_text("Somebody else has saved this meanwhile").wait_for()
    problems += found_in_both_schemes(page)

    page.context.set_offline(True)
    someone.type("notes-plan", "Go on.")
    page.locator(".not-saved").wait_for()
    problems += found_in_both_schemes(page)
    page.context.set_offline(False)

    assert problems == []


def test_the_colors_of_the_readers_own_system(someone, numbers):
    page, problems = someone.page, []
    for name, which in OWN_COLORS:
        someone.open(address(numbers, name, which))
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme, forced_colors="active")
            problems += [f"{name}, {scheme}: {one}" for one in found_on(page, CONTRAST)]
    assert problems == []

    someone.open(address(numbers, "cases:screening", "case"))
    page.locator("main .key input").first.check(force=True)
    grounds = [".key:has(:checked)", ".key:not(:has(:checked))", ".actions .button:not(.other)"]
    chosen, other, action = (
        page.locator(f"main {one}").first.evaluate("e => getComputedStyle(e).backgroundColor")
        for one in grounds
    )
    assert other not in (chosen, action)


def test_open_folds(someone, numbers):
    problems = []
    for name, which in FOLDED:
        someone.open(address(numbers, name, which))
        someone.page.evaluate(OPEN_FOLDS)
        someone.page.wait_for_load_state("networkidle")
        problems += [f"{name}: {one}" for one in found_on(someone.page, EVERYTHING)]
    assert problems == []


def test_paper(someone, numbers):
    problems = []
    someone.page.emulate_media(media="print", color_scheme="dark")
    for name, which in ON_PAPER:
        someone.open(address(numbers, name, which))
        problems += [f"{name}: {one}" for one in found_on(someone.page, CONTRAST)]
    assert problems == []
