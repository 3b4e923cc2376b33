"""Looking something up: the keys, the words, and how much of it one is shown."""

import re
from pathlib import Path

import pytest
from django.utils.html import escape

from clinic.glossary import PARTS, WORDS
from clinic.keys import ACCESS
from clinic.models import AuditEvent

pytestmark = pytest.mark.django_db

TEMPLATES = Path("templates")


def letters_of_pages() -> set[str]:
    pages = "\n".join(path.read_text() for path in TEMPLATES.rglob("*.html"))
    return set(re.findall(r'accesskey="(\w)"', pages))


def test_every_letter_of_a_page_has_its_words():
    told = {letter for key in ACCESS.keys for letter in key.keys}
    # The free times are numbered as they come, and only the letter of the first chart is fixed.
    assert letters_of_pages() == told - set("123456789")


def test_no_letter_means_two_things():
    told = [letter for key in ACCESS.keys for letter in key.keys]
    assert len(told) == len(set(told))


def test_a_page_with_a_way_back_has_the_key_for_it():
    """On the link itself, or on the line that names the case or visit."""
    pages = {path: path.read_text() for path in TEMPLATES.rglob("*.html")}
    leads_back = re.compile(r"<a [^\n]*>(?:{% icon [^%]*%} )?{% translate ['\"]Back ")
    back = [path for path, text in pages.items() if leads_back.search(text)]
    has_key = re.compile(r'accesskey="b"|cases/(?:case|visit)_line.html')

    assert len(back) > 30
    assert [path.name for path in back if not has_key.search(pages[path])] == []


def test_every_word_has_a_place_of_its_own(signed_in, front_desk):
    page = signed_in(front_desk).get("/words/").content.decode()

    anchors = [word.anchor for part in PARTS for word in part.words]
    assert len(anchors) == len(set(anchors))
    assert [anchor for anchor in anchors if f'<div id="{anchor}">' not in page] == []


def test_what_rests_on_something_names_it_with_its_status(signed_in, front_desk):
    page = signed_in(front_desk).get("/words/").content.decode()

    sources = [(word.anchor, word.source) for word in WORDS.values() if word.source]
    unsaid = [
        anchor
        for anchor, source in sources
        if f'href="#source-{anchor}"' not in page
        or f"{escape(source.words)} · {source.status}" not in page.split(f'id="source-{anchor}"')[1]
    ]
    assert unsaid == []


def test_a_word_that_is_taken_for_another_leads_to_it(signed_in, front_desk):
    page = signed_in(front_desk).get("/words/").content.decode()

    assert 'Not the same: <a href="#visit">visit</a>, which is a contact with the clinic.' in page
    assert set(re.findall(r'href="#([\w-]+)"', page)) <= set(re.findall(r'id="([\w-]+)"', page))


def test_hints_go_for_who_switches_them_off_and_for_nobody_else(signed_in, front_desk, manager):
    client = signed_in(front_desk)
    assert 'class="no-hints"' not in client.get("/").content.decode()

    client.post("/account/help/", {"opens_key_map": "on"})

    assert 'class="no-hints"' in client.get("/").content.decode()
    assert 'class="no-hints"' not in signed_in(manager).get("/").content.decode()
    assert AuditEvent.objects.filter(verb="chose which help is shown").count() == 1


def test_without_hints_no_question_and_no_range_is_missing():
    """A hint says how a page works; what is to be asked, and in which numbers, stands for everybody."""
    pages = "\n".join(path.read_text() for path in TEMPLATES.rglob("*.html"))
    tips = re.findall(r'class="(?:[\w-]+ )*tip\b[^>]*>(.*?)</(?:p|span|div)>', pages, re.DOTALL)

    assert len(tips) > 15
    assert [
        tip for tip in tips if re.search(r"[a-z]\?|\d–\d", tip) and "New here?" not in tip
    ] == []


def test_a_key_that_is_a_sign_alone_can_be_switched_off(signed_in, front_desk):
    """WCAG 2.2, 2.1.4."""
    client = signed_in(front_desk)
    assert "data-opens-key-map" in client.get("/").content.decode()

    client.post("/account/help/", {"shows_hints": "on"})

    assert "data-opens-key-map" not in client.get("/").content.decode()
