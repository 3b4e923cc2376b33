"""The course summary as a page says what the printed sheet says, its drawings beside their values."""

import itertools
from dataclasses import replace

import pytest
from django.utils import translation

from rehab.pages.summary import summary_page
from rehab.printing.paper import Paper
from rehab.printing.summary import summary_pdf, summary_story
from rehab.printing.summary_facts import Plan
from tests.rehab.pages.reading import asked_for, blocks, folded, headings, main, parsed, words
from tests.rehab.pages.test_home_program import ranges_as_printed
from tests.rehab.printing.sheets import CLINIC, TODAY, opened, text_of
from tests.rehab.printing.summaries import ASKED, CLOSED, LOCKING, OTHERS, PLAN, SIGNED, a_summary
from tests.rehab.printing.test_readability import paragraphs

NOTHING, MUCH, ONCE = OTHERS
SHEETS = {
    "usual": {},
    "nothing yet": NOTHING,
    "much to tell": MUCH,
    "measured once": ONCE,
    "acted on": {
        "screened": replace(
            ASKED,
            flags=(replace(LOCKING, done="Letter to the surgeon", done_on=TODAY),),
            signs=(("At the neck", "three of four signs"),),
        )
    },
    "closed": {"plan": Plan(closed=CLOSED)},
}
each_sheet = pytest.mark.parametrize("changes", SHEETS.values(), ids=SHEETS)
each_language = pytest.mark.parametrize("language", ["en", "es"])


def page_of(sheet, *, large: bool = False) -> bytes:
    return summary_page(sheet, large=large).to_send()


def said_on(page: bytes) -> list[str]:
    """What is said outside the tables of values, which the printed sheet has no room for."""
    shown = [
        one for one in blocks(main(page)) if not one.xpath("ancestor::table[@class = 'values']")
    ]
    return [ranges_as_printed(words(one, hidden=False)) for one in shown]


@each_language
@each_sheet
def test_everything_on_the_page_stands_on_the_printed_sheet(language, changes):
    sheet = a_summary(language=language, **changes)
    printed = ranges_as_printed(folded(text_of(summary_pdf(sheet, Paper()))))

    found = [text for text in said_on(page_of(sheet)) if not text.endswith(sheet.patient)]
    assert [text for text in found if text not in printed] == []
    assert len(found) > 15


@each_language
@each_sheet
def test_everything_on_the_printed_sheet_stands_on_the_page(language, changes):
    sheet = a_summary(language=language, **changes)
    with translation.override(language):
        printed = [folded(text) for text in paragraphs(summary_story(sheet, Paper()))]
    page = " ".join(said_on(page_of(sheet)))

    assert [text for text in map(ranges_as_printed, printed) if text not in page] == []
    assert len(printed) > 15


@each_sheet
def test_the_headings_are_those_of_the_printed_sheet_in_its_order(changes):
    sheet = a_summary(**changes)
    outline = [entry.title for entry in opened(summary_pdf(sheet, Paper())).outline]
    found = headings(main(page_of(sheet)))

    assert [text for level, text in found if level == 2] == outline
    levels = [level for level, _text in found]
    assert (levels[0], levels.count(1)) == (1, 1)
    assert [(a, b) for a, b in itertools.pairwise(levels) if b > a + 1] == []


def test_each_measure_is_a_row_whose_cells_know_their_heads():
    (table,) = main(page_of(a_summary())).xpath("//table[@class = 'measures']")
    heads = [words(head) for head in table.xpath("thead//th")]

    assert heads == ["Measure", "Start", "Now", "Change since the start", "Reached"]
    assert table.xpath("thead//th/@scope") == ["col"] * 5
    for row, facts in zip(table.xpath("tbody/tr"), a_summary().measured.rows, strict=True):
        name, *cells = [ranges_as_printed(words(cell)) for cell in row]
        assert (name, row[0].get("scope")) == (ranges_as_printed(facts.name), "row")
        assert cells[:2] == [facts.start or "–", facts.now]
        assert row.xpath("td/@data-head") == heads[1:]
    # A table that is laid out as lines on a phone is no table to a browser any more, unless it says so.
    assert set(table.xpath("tbody/tr/@role | tbody/tr/*/@role")) == {"row", "rowheader", "cell"}


@pytest.mark.parametrize("large", [False, True])
def test_each_drawing_is_described_and_followed_by_its_values(large):
    sheet = a_summary()
    charted = main(page_of(sheet, large=large)).xpath("//div[@class = 'charted']")

    assert len(charted) == 2
    for part, chart in zip(charted, sheet.measured.charts, strict=True):
        drawings = part.xpath("*[local-name() = 'svg']")
        assert [one.get("class") for one in drawings] == ["plot wide", "plot narrow"]
        assert {one.get("role") for one in drawings} == {"img"}
        assert {one.xpath("string(*[local-name() = 'title'])") for one in drawings} == {chart.title}
        assert {one.xpath("string(*[local-name() = 'desc'])") for one in drawings} == {
            chart.description
        }
        (table,) = part.xpath("table")
        assert len(table.xpath("tbody/tr")) == len(chart.points)
        assert len(table.xpath("thead//th")) == (3 if chart.beside else 2)


def test_the_words_of_a_drawing_grow_with_the_print():
    sizes = [
        {float(size) for size in main(page_of(a_summary(), large=large)).xpath("//@font-size")}
        for large in (False, True)
    ]

    assert min(sizes[0]) >= 18
    assert min(sizes[1]) == pytest.approx(1.4 * min(sizes[0]))


def test_the_values_are_those_of_the_drawing():
    sheet = a_summary()
    chart = sheet.measured.charts[0]
    (first, *_others) = main(page_of(sheet)).xpath("//table[@class = 'values']")

    shown = [float(words(row[1])) for row in first.xpath("tbody/tr")]
    assert shown == [round(value, chart.places or 1) for _day, value in chart.points]


def test_what_was_typed_stays_what_was_typed():
    typed = '<script src="//x.example"></script> & <b>5</b>'
    flag = replace(LOCKING, note=typed, done=typed, done_on=TODAY)
    sheet = a_summary(
        patient="王 <i>",
        why=replace(a_summary().why, occupation=typed),
        screened=replace(ASKED, flags=(flag,)),
    )
    page = parsed(page_of(sheet))

    assert words(page).count(typed) == 3
    assert page.xpath("//script | //main//i") == []


def test_the_file_asks_for_nothing_from_elsewhere_and_runs_nothing():
    page = parsed(page_of(a_summary()))

    assert {address.split(":")[0] for address in asked_for(page)} == {"tel"}
    assert page.xpath("//script | //link | //form | //@*[starts-with(name(), 'on')]") == []


def test_the_numbers_to_call_can_be_dialed():
    page = parsed(page_of(a_summary(plan=replace(PLAN, next_visit=None))))

    assert page.xpath("//a[@class = 'dial']/text()") == [CLINIC.phone, "112", CLINIC.phone]


def test_a_draft_is_told_at_the_head_and_at_the_foot():
    page = parsed(page_of(a_summary(signed=replace(SIGNED, draft_on=TODAY))))
    told = "The visit of 12 Mar 2026 is not signed yet."

    assert told in words(page.find(".//footer"))
    assert told in words(page.find(".//section"))
    assert "not signed" not in words(parsed(page_of(a_summary())))


def test_the_page_on_the_site_says_the_same():
    sheet = summary_page(a_summary(), large=False)
    site, file = parsed(sheet.to_read(back="/b/", file="/f/", pdf="/p/")), parsed(sheet.to_send())

    assert words(next(site.iter("main"))) == words(next(file.iter("main")))
    assert site.xpath("//style | //script") == []
    assert site.xpath("//header//a/@href") == ["/b/", "/f/", "/p/"]
