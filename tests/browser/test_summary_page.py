"""The course summary as a page: as a file without a connection, heard, and on paper."""

import io

import pdfplumber
import pytest

from rehab.pages.summary import summary_page
from tests.browser.axe import troubles_of
from tests.rehab.printing.summaries import a_summary

WIDTHS = (1280, 820, 390, 320)


@pytest.fixture
def file(sent):
    """Return a function that opens the file of a sheet as it lies on somebody's disk."""

    def open_file(*, language="en", large=False, **how):
        return sent(summary_page(a_summary(language=language), large=large).to_send(), **how)

    return open_file


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("language", "large"), [("en", False), ("es", True)])
def test_the_file_opens_without_a_connection_and_axe_finds_nothing(file, scheme, language, large):
    page = file(language=language, large=large, offline=True, color_scheme=scheme)

    assert troubles_of(page, WIDTHS) == []
    assert [address for address in page.asked if not address.startswith("file:")] == []
    assert page.complaints == []


@pytest.mark.parametrize("large", [False, True])
def test_no_word_of_a_drawing_is_smaller_than_18_pixels(file, large):
    page = file(large=large)
    heights = """() => [...document.querySelectorAll('.plot text')]
        .filter(text => text.getBoundingClientRect().width)
        .map(text => text.getAttribute('font-size') * text.getScreenCTM().a)"""

    for width in (1280, 390):
        page.set_viewport_size({"width": width, "height": 900})
        seen = page.evaluate(heights)
        assert len(seen) > 10
        assert min(seen) >= (17.5 if not large else 24), width


@pytest.mark.parametrize("width", [1280, 390])
def test_a_screen_reader_gets_the_measures_as_a_table(file, width):
    # On a phone its rows are laid out as lines; to Chromium's accessibility tree they stay rows.
    page = file(viewport={"width": width, "height": 900})
    (first, *_others) = page.get_by_role("table", name="How it is now").get_by_role("row").all()[1:]

    assert first.get_by_role("rowheader").inner_text() == "Pain on gripping, 0 to 10"
    assert [cell.inner_text() for cell in first.get_by_role("cell").all()] == [
        "6",
        "3",
        "better by 3, beyond error (1.4)",
        "3 of 3",
    ]
    assert page.get_by_role("table").count() == 3
    assert page.get_by_role("columnheader", name="Change since the start").count() == 1


def test_a_screen_reader_gets_one_drawing_of_each_measure(file):
    heard = file().locator("body").aria_snapshot()

    assert heard.count("- img ") == 2


@pytest.mark.parametrize(("large", "body"), [(False, 12), (True, 18)])
def test_on_paper_each_page_says_whose_it_is(file, large, body):
    page = file(large=large)
    page.emulate_media(media="print")
    pages = pdfplumber.open(io.BytesIO(page.pdf(format="A4"))).pages

    texts = [" ".join(one.extract_text().split()) for one in pages]
    assert [
        text for text in texts if "Marit Oyelaran · record 0217 · 12 Mar 2026" not in text
    ] == []
    sizes = [round(sign["size"]) for one in pages for sign in one.chars]
    assert max(set(sizes), key=sizes.count) == body
