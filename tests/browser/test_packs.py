"""The packs of a day at the front desk: ticked and printed by keyboard, left, and gone on with."""

import io
import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect
from pypdf import PdfReader

from rehab.models import PackRun
from tests.browser.axe import EVERYTHING, found_on
from tests.rehab.packs import PAGE, a_patient_of, sheets_in

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def patients(physiotherapist):
    return [a_patient_of(physiotherapist, hour=hour) for hour in range(9, 13)]


@pytest.fixture
def desk(person, front_desk):
    return person(front_desk)


@pytest.fixture
def held(desk):
    """Let one pack be made ready and hold up whatever asks for the next; returns what lets it go on."""
    asked = []

    def hold(route):
        asked.append(route)
        if len(asked) == 1:
            route.continue_()

    desk.page.route("**/step/", hold)
    return lambda: desk.page.unroute("**/step/", hold)


@pytest.mark.parametrize("whom", ["nobody", "all"])
def test_ticking_by_a_link_leaves_the_focus_on_it(desk, patients, whom):
    desk.open(PAGE)
    link = desk.page.get_by_role("link", name=whom, exact=True)
    link.focus()
    with desk.page.expect_navigation():
        desk.page.keyboard.press("Enter")

    expect(link).to_be_focused()
    ticked = desk.page.locator("[name=patients]:checked")
    expect(ticked).to_have_count(0 if whom == "nobody" else len(patients))


def test_the_day_is_printed_by_keyboard_alone(desk, patients):
    desk.open(PAGE)
    page = desk.page
    page.locator(f"[name=patients][value='{patients[0].pk}']").focus()
    for key in ("ArrowDown", "Space", "Enter", "Space"):
        page.keyboard.press(key)
    page.keyboard.press("Tab")
    page.locator("main button:has-text('Print the packs')").focus()
    page.keyboard.press("Enter")
    link = page.get_by_role("link", name="All packs in one file")
    link.wait_for()
    assert page.title().strip().startswith("Ready: Packs")

    run = PackRun.objects.get()
    usual = ["appointment card", "home program", "diary page"]
    assert [(pack.patient, sheets_in(pack)) for pack in run.packs.with_sheets()] == [
        (patients[0], usual), (patients[1], ["self-check sheet"]), *((one, usual) for one in patients[2:]),
    ]  # fmt: skip
    answer = page.request.get(link.get_attribute("href"))
    document = PdfReader(io.BytesIO(answer.body()), strict=True)
    assert len([entry for entry in document.outline if not isinstance(entry, list)]) == 4
    assert desk.complaints == []


def test_a_run_that_is_left_goes_on_when_its_page_is_opened_again(desk, patients, held):
    desk.open(PAGE)
    desk.press("Print the packs")
    expect(desk.page.locator("#progress label")).to_have_text("1 of 4 packs are ready")
    assert desk.page.title().strip().startswith("Packs")
    assert desk.page.locator("progress").evaluate("bar => [bar.value, bar.max]") == [1, 4]
    expect(desk.page.locator("#progress-told[role=status]")).to_have_text("1 of 4 packs are ready")
    assert found_on(desk.page, EVERYTHING) == []
    run = PackRun.objects.get()
    desk.open("/book/")
    assert run.packs.waiting().count() == 3

    held()
    desk.open(PAGE)
    desk.page.get_by_role("link", name="1 of 4 packs are ready: go on").click()
    desk.page.get_by_role("link", name="All packs in one file").wait_for()
    assert run.packs.waiting().count() == 0
    assert desk.page.url.endswith(reverse("rehab:pack_run", args=[run.pk]))
    assert desk.complaints == []


def test_a_step_that_failed_is_asked_for_again(desk, patients):
    """The first answer is lost on the way, as where a web process is started anew."""
    lost = []

    def lose(route):
        if lost:
            route.continue_()
        else:
            lost.append(route.request.url)
            route.abort()

    desk.page.route("**/step/", lose)
    desk.open(PAGE)
    desk.press("Print the packs")
    desk.page.get_by_role("link", name="All packs in one file").wait_for()

    assert re.search(r"/packs/\d+/step/$", lost[0])
    assert PackRun.objects.get().is_ready
