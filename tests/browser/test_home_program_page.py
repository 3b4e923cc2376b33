"""The home program as a page: heard, by keyboard, as a file without a connection, and on paper."""

import io
import re

import pdfplumber
import pypdf
import pytest
from django.urls import reverse
from icalendar import Calendar

from rehab.pages.home_program import home_program_page
from tests.browser.axe import overflows, troubles_of
from tests.browser.situations import a_clinic_at_work
from tests.rehab.printing.sheets import ENTRY, a_program

WIDTHS = (1280, 820, 390, 320)
FOCUSED = "() => document.activeElement.textContent.trim().replace(/\\s+/g, ' ')"


@pytest.fixture
def file(sent):
    """Return a function that opens the file of a sheet as it lies on somebody's disk."""

    def open_file(sheet=None, *, large=False, **how):
        return sent(home_program_page(sheet or a_program(), large=large).to_send(), **how)

    return open_file


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("language", "large"), [("en", False), ("es", True)])
def test_the_file_opens_without_a_connection_and_axe_finds_nothing(file, scheme, language, large):
    page = file(a_program(language=language), large=large, offline=True, color_scheme=scheme)

    assert troubles_of(page, WIDTHS) == []
    assert [address for address in page.asked if not address.startswith("file:")] == []
    assert page.complaints == []


@pytest.mark.parametrize("large", [False, True])
def test_wider_spaces_between_letters_words_and_lines_cut_nothing(file, large):
    page = file(large=large)
    # WCAG 2.2, 1.4.12 Text Spacing, at the width of 1.4.10 Reflow.
    page.add_style_tag(
        content="* { line-height: 1.5 !important; letter-spacing: 0.12em !important;"
        " word-spacing: 0.16em !important } p { margin-block-end: 2em !important }"
    )

    cut = []
    for width in (1280, 320):
        page.set_viewport_size({"width": width, "height": 900})
        cut += [f"{width}"] if overflows(page) else []
    assert cut == []


def test_nothing_is_set_smaller_than_18_pixels(file):
    sizes = """() => [...document.querySelectorAll('main *, footer *')]
        .filter(e => [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()))
        .map(e => parseFloat(getComputedStyle(e).fontSize))"""
    page = file()
    normal = page.evaluate(sizes)
    large = file(large=True).evaluate(sizes)

    assert (min(normal), max(set(normal), key=normal.count)) == (18, 20)
    assert (round(min(large), 1), max(set(large), key=large.count)) == (25.2, 28)


def test_a_screen_reader_gets_headings_lists_and_drawings_in_the_order_of_the_sheet(file):
    # Chromium's own accessibility tree, as it hands it to a screen reader.
    heard = file().locator("body").aria_snapshot()
    parts = [
        'heading "Home program , Marit Oyelaran" [level=1]',
        'navigation "Your exercises"',
        'heading "Stop the exercise at once if" [level=2]',
        "listitem: Your pain reaches 6 or turns sharp.",
        'heading "Get help the same day if" [level=2]',
        'link "112"',
        'heading "Call us on +44 1632 960001 if" [level=2]',
        'heading "How much pain is all right" [level=2]',
        'heading "4 to 5 , watch" [level=3]',
        'heading "1. Lower slowly" [level=2]',
        'img "Right arm: elbow bent, palm down, wrist bent back, hand closed. The other hand',
        "paragraph: 3 × 15, 1.2 kg",
        "listitem: Take the other hand away.",
        'heading "3. Thumb-up lift" [level=2]',
        "contentinfo",
    ]
    places = [heard.find(part) for part in parts]

    assert [part for part, place in zip(parts, places, strict=True) if place < 0] == []
    assert places == sorted(places)


def test_the_calendar_entry_comes_out_of_the_file(file, tmp_path):
    page = file(offline=True)
    with page.expect_download() as caught:
        page.get_by_role("link", name="Put it in your calendar").click()

    caught.value.save_as(tmp_path / "saved.ics")
    assert caught.value.suggested_filename == "appointment.ics"
    assert (tmp_path / "saved.ics").read_bytes() == ENTRY


@pytest.mark.parametrize(("large", "sizes"), [(False, (10, 12)), (True, (14, 18))])
def test_on_paper_each_page_says_whose_it_is_and_the_sizes_are_those_of_the_sheet(
    file, large, sizes
):
    pages = printed(file(large=large))

    texts = [" ".join(page.extract_text().split()) for page in pages]
    assert len(pages) > 2
    for number, text in enumerate(texts, start=1):
        assert "Marit Oyelaran · record 0217 · 12 Mar 2026 · Program 2" in text
        assert text.endswith(f"{number} / {len(pages)}")
    assert "Put it in your calendar" not in " ".join(texts)
    found = sorted(round(sign["size"]) for page in pages for sign in page.chars)
    # Page numbers are of one size: a rule of the page knows nothing of large print.
    assert (found[0], max(set(found), key=found.count)) == (10, sizes[1])
    assert sizes[0] in found


def test_no_exercise_is_cut_by_a_page_end(file):
    texts = [page.extract_text() for page in printed(file())]

    for name, step in (("1. Lower slowly", "Help it back up"), ("3. Thumb-up lift", "Lower it")):
        (text,) = (text for text in texts if name in text)
        assert step in text


def printed(page) -> list:
    page.emulate_media(media="print")
    return pdfplumber.open(io.BytesIO(page.pdf(format="A4", tagged=True))).pages


def test_printed_by_the_browser_it_is_a_tagged_document_in_its_language(file):
    page = file(a_program(language="es"))
    root = pypdf.PdfReader(io.BytesIO(page.pdf(tagged=True))).root_object

    assert (root["/MarkInfo"]["/Marked"], root["/Lang"]) == (True, "es")


@pytest.mark.django_db(transaction=True)
def test_by_keyboard_the_page_is_gone_through_from_the_links_of_the_staff_to_the_foot(
    person, physiotherapist
):
    someone = a_person_on_the_page(person, physiotherapist)
    reached = []
    for _press in range(9):
        someone.page.keyboard.press("Tab")
        reached.append(someone.page.evaluate(FOCUSED))

    phone = physiotherapist.clinic.phone
    assert reached[:5] == [
        "Back",
        "Save as one file",
        "Print the PDF",
        "Put it in your calendar",
        phone,
    ]
    assert [
        bool(re.match(rf"{number}\. ", text)) for number, text in enumerate(reached[5:8], 1)
    ] == [
        True,
        True,
        True,
    ]
    assert reached[8] == physiotherapist.clinic.emergency_phone


@pytest.mark.django_db(transaction=True)
def test_the_file_and_the_entry_are_saved_from_the_page(person, physiotherapist, tmp_path):
    someone = a_person_on_the_page(person, physiotherapist)
    saved = {}
    for name in ("Save as one file", "Put it in your calendar"):
        with someone.page.expect_download() as caught:
            someone.page.get_by_role("link", name=name).click()
        caught.value.save_as(tmp_path / caught.value.suggested_filename)
        saved[name] = tmp_path / caught.value.suggested_filename

    assert re.fullmatch(r"home-program-\d+-v1\.html", saved["Save as one file"].name)
    assert saved["Save as one file"].read_text().rstrip().endswith("</html>")
    (event,) = Calendar.from_ical(saved["Put it in your calendar"].read_bytes()).events
    assert "UID" in event
    assert someone.complaints == []


def a_person_on_the_page(person, physiotherapist):
    numbers = a_clinic_at_work(physiotherapist)
    someone = person(physiotherapist)
    someone.open(reverse("rehab:home_program_page", args=[numbers["program"]]))
    return someone
