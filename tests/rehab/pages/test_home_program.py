"""The home program as a page says what the printed sheet says, and says it to who listens too."""

import base64
import itertools
import re
from dataclasses import replace

import polib
import pytest
from django.utils import translation
from django.utils.translation import gettext
from lxml import etree

from clinic.templatetags.clinic_tags import say
from rehab.clinical.exercises import CARDS
from rehab.pages.home_program import home_program_page
from rehab.printing import advice
from rehab.printing.home_program import home_program_story
from rehab.printing.paper import Paper
from tests.clinic.logos import png
from tests.rehab.pages.reading import asked_for, blocks, folded, headings, main, parsed, words
from tests.rehab.printing.sheets import (
    CLINIC,
    ENTRY,
    PAGE,
    a_program,
    an_exercise,
    opened,
    printed_program,
    text_of,
)
from tests.rehab.printing.test_readability import paragraphs
from tests.rehab.printing.test_spanish import CATALOG, ROOT

LANGUAGES = ("en", "es")
SHEETS = {
    "booked": {"training_days": "Monday and Thursday"},
    "not booked": {"next_visit": None, "registration_number": ""},
    "no remark": {"remark": "", "count": 1},
    "own words": {
        "remark": "First line.\r\n\r\nSecond line.",
        "exercises": (an_exercise(CARDS[0], remark="Use the sponge."), an_exercise(CARDS[12])),
    },
}
each_language = pytest.mark.parametrize("language", LANGUAGES)
each_sheet = pytest.mark.parametrize("changes", SHEETS.values(), ids=SHEETS)
# What only a page has: a list to jump from, and a link to the calendar in place of the code.
ONLY_ON_PAGE = {
    "Your exercises",
    "Put it in your calendar",
    "Sus ejercicios",
    "Guárdela en su calendario",
}


def page_of(sheet, *, large: bool = False) -> bytes:
    return home_program_page(sheet, large=large).to_send()


def ranges_as_printed(text: str) -> str:
    """0–3 is said as 0 to 3 on a page."""
    return re.sub(r"(\d) (?:to|a) (\d)", r"\1–\2", text)


def said_on(page: bytes) -> list[str]:
    contents = main(page).xpath(".//nav//*")
    shown = [one for one in blocks(main(page)) if not one.xpath("ancestor::nav")]
    assert contents
    texts = (words(one, hidden=False) for one in shown)
    return [ranges_as_printed(text) for text in texts if text not in ONLY_ON_PAGE]


@each_language
@each_sheet
def test_everything_on_the_page_stands_on_the_printed_sheet(language, changes):
    sheet = a_program(language=language, **changes)
    printed = ranges_as_printed(folded(text_of(printed_program(sheet, Paper()))))

    title, *others = [text for text in said_on(page_of(sheet)) if text != CLINIC.name]
    assert title.endswith(sheet.patient)
    assert [text for text in others if text not in printed] == []
    assert len(others) > 40


@each_language
@each_sheet
def test_everything_on_the_printed_sheet_stands_on_the_page(language, changes):
    sheet = a_program(language=language, **changes)
    with translation.override(language):
        printed = [folded(text) for text in paragraphs(home_program_story(sheet, Paper(), PAGE))]
    page = " ".join(said_on(page_of(sheet)))

    scan = {"Scan to put it in your calendar", "Escanee para guardarla en su calendario"}
    missing = [text for text in map(ranges_as_printed, printed) if text not in page]
    assert set(missing) <= scan
    assert len(printed) > 50


@each_language
def test_each_exercise_has_the_dose_the_steps_and_the_warnings_of_its_card(language):
    exercises = tuple(an_exercise(card) for card in CARDS)
    sheet = a_program(language=language, exercises=exercises)
    sections = main(page_of(sheet)).xpath("//section[contains(@class, 'exercise')]")

    with translation.override(language):
        asked = [
            [
                advice_of(words)
                for words in (one.headline, *one.dose, *one.steps, one.caution, one.usual_mistake)
            ]
            for one in exercises
        ]
    heard = [ranges_as_printed(words(section)) for section in sections]
    assert len(sections) == len(CARDS)
    assert [
        missing
        for section, wanted in zip(heard, asked, strict=True)
        for missing in wanted
        if missing not in section
    ] == []


def advice_of(said) -> str:
    return ranges_as_printed(folded(say(said)))


@each_language
@each_sheet
def test_the_headings_are_those_of_the_printed_sheet_in_its_order(language, changes):
    sheet = a_program(language=language, **changes)
    outline = [folded(entry.title) for entry in opened(printed_program(sheet, Paper())).outline]
    found = headings(main(page_of(sheet)))

    assert [text for level, text in found if level == 2] == outline


@each_sheet
def test_one_heading_names_the_sheet_and_none_skips_a_level(changes):
    levels = [level for level, _text in headings(parsed(page_of(a_program(**changes))))]

    assert levels.count(1) == 1
    assert levels[0] == 1
    assert [(a, b) for a, b in itertools.pairwise(levels) if b > a + 1] == []


@each_language
def test_the_page_says_its_language_and_its_title_without_the_name(language):
    page = parsed(page_of(a_program(language=language)))

    assert page.get("lang") == language
    (title,) = page.xpath("//title/text()")
    assert title.endswith("2, 0217 · Quayside Clinic")


def test_steps_are_an_ordered_list_and_signs_to_stop_a_list():
    sheet = a_program()
    page = main(page_of(sheet))

    steps = [[words(step) for step in each] for each in page.iter("ol")]
    assert steps == [[str(step) for step in one.steps] for one in sheet.exercises]
    stop = page.xpath("//h2[starts-with(., 'Stop')]/following-sibling::ul/li")
    assert [words(sign) for sign in stop] == [str(sign) for sign in advice.stop_signs(sheet.limits)]


@each_language
def test_every_drawing_says_what_it_shows_or_is_passed_over(language):
    sheet = a_program(language=language)
    drawings = main(page_of(sheet)).xpath("//*[local-name() = 'svg']")
    named = [one for one in drawings if one.get("aria-hidden") != "true"]

    assert {one.get("role") for one in named} == {"img"}
    titles = [one.xpath("string(*[local-name() = 'title'])") for one in named]
    with translation.override(language):
        figures = [say(figure.alt) for one in sheet.exercises for figure in one.positions]
        assert titles == [gettext("Scan to put it in your calendar"), *figures]


@each_language
def test_each_level_has_its_word_and_its_shape(language):
    sheet = a_program(language=language)
    levels = main(page_of(sheet)).xpath("//ul[@class = 'levels']/li")
    with translation.override(language):
        expected = [say(level.word) for level in advice.pain_levels(sheet.limits)]

    assert [words(level.find("h3")).split(", ")[1] for level in levels] == expected
    shapes = [level.xpath("h3//*[local-name() = 'svg']/*") for level in levels]
    drawn = [sorted(etree.QName(part).localname for part in shape) for shape in shapes]
    assert drawn == [["circle"], ["circle", "path"], ["rect"]]


def test_a_level_without_a_range_of_its_own_has_no_figure():
    limits = replace(a_program().limits, settled_up_to=5)
    (watch,) = main(page_of(a_program(limits=limits))).xpath("//li[@class = 'watch']")

    assert words(watch.find("h3")) == "watch"


def test_ranges_are_said_in_words():
    said = said_aloud(a_program())

    assert "Pain during the exercise is 4 to 5." in said
    assert re.findall(r"\d–\d", said.split("Where this comes from")[0]) == []
    assert "es de 4 a 5." in said_aloud(a_program(language="es"))


def said_aloud(sheet) -> str:
    return words(main(page_of(sheet)))


def test_what_was_typed_stays_what_was_typed():
    remark = '<script src="//x.example"></script> & <b>5–6</b>'
    exercise = an_exercise(CARDS[2], remark=f"One\n{remark}")
    sheet = a_program(patient='王 "<i>"', remark=remark, exercises=(exercise,))
    said, page = said_aloud(sheet), parsed(page_of(sheet))

    assert (said.count(remark), '王 "<i>"' in said) == (2, True)
    assert page.xpath("//script | //main//i") == []


def test_each_phone_number_can_be_dialed():
    clinic = replace(CLINIC, phone="+44 1632 960001 (mornings)", emergency_phone="999")
    page = parsed(page_of(a_program(clinic=clinic, next_visit=None)))

    dialed = [(one.get("href"), one.text) for one in page.xpath("//a[@class = 'dial']")]
    clinics = ("tel:+441632960001", "+44 1632 960001 (mornings)")
    assert dialed == [clinics, clinics, ("tel:999", "999"), clinics, clinics]


def test_a_clinic_without_a_number_has_nothing_to_dial():
    page = parsed(page_of(a_program(clinic=replace(CLINIC, phone=""))))

    assert page.xpath("//a[@class = 'dial']/text()") == ["112"]


def test_the_list_of_exercises_leads_to_each_of_them():
    page = main(page_of(a_program()))
    led = [one.get("href") for one in page.xpath("//nav//a")]
    targets = [page.xpath(f"//*[@id = '{address[1:]}']/@class") for address in led]

    assert led == ["#exercise-1", "#exercise-2", "#exercise-3"]
    assert targets == [["block exercise"]] * 3


@pytest.mark.parametrize("large", [True, False])
def test_large_print_is_large_on_the_page(large):
    kinds = parsed(page_of(a_program(), large=large)).get("class").split()

    assert ("large" in kinds) is large


def test_the_file_asks_for_nothing_from_elsewhere_and_runs_nothing():
    page = parsed(page_of(a_program(clinic=replace(CLINIC, logo=png()))))
    kinds = {address.split(":")[0] for address in asked_for(page)}

    assert kinds == {"tel", "data"}
    assert (
        page.xpath("//script | //link | //iframe | //form | //@*[starts-with(name(), 'on')]") == []
    )
    assert len(page.xpath("//style")) == 1
    (policy,) = page.xpath("//meta[@http-equiv = 'Content-Security-Policy']/@content")
    assert policy == "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def test_the_file_carries_the_entry_for_the_calendar():
    (link,) = parsed(page_of(a_program())).xpath("//a[@download]")

    kind, data = link.get("href").split(",")
    assert kind == "data:text/calendar;charset=utf-8;base64"
    assert base64.b64decode(data) == ENTRY
    assert (link.get("type"), link.get("download")) == ("text/calendar", "appointment.ics")


def test_without_a_booking_there_is_no_link_and_no_code():
    page = parsed(page_of(a_program(next_visit=None)))

    assert page.xpath("//a[@download] | //*[@class = 'scan-code']") == []


def test_the_page_on_the_site_says_the_same_and_fetches_its_rules_from_the_site():
    sheet = home_program_page(a_program(language="es"), large=False)
    links = {"back": "/b/", "file": "/f/", "pdf": "/p/", "entry": "/e/"}
    site, file = parsed(sheet.to_read(**links)), parsed(sheet.to_send())

    assert words(next(site.iter("main"))) == words(next(file.iter("main")))
    assert site.xpath("//style | //script") == []
    around = site.xpath("//header[@class = 'for-staff']")
    assert [one.get("lang") for one in around] == ["en"]
    assert around[0].xpath(".//a/@href") == ["/b/", "/f/", "/p/"]
    assert site.xpath("//a[@download]/@href") == ["/e/"]
    assert file.xpath("//header[@class = 'for-staff']") == []


def test_the_same_sheet_gives_the_same_file():
    assert page_of(a_program()) == page_of(a_program())


def test_every_word_of_the_templates_has_a_spanish_one():
    catalog = {entry.msgid for entry in polib.pofile(str(CATALOG / "django.po"))}
    folder = ROOT / "templates" / "rehab" / "pages"
    for_staff = re.compile(r"{% language reader %}.*?{% endlanguage %}", re.DOTALL)
    texts = [for_staff.sub("", file.read_text()) for file in folder.glob("*.html")]
    found = {text for one in texts for text in re.findall(r'{% translate "([^"]+)"', one)}

    assert len(found) > 20
    assert found - catalog == set()
