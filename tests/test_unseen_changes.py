"""Nobody's writing is overwritten or signed unseen: a view that writes into a clinical record refuses a form
that was opened before somebody else saved, or the database refuses it, or nothing is overwritten at all.
"""

import re

import pytest
from django.urls import NoReverseMatch, URLPattern, URLResolver, get_resolver, reverse

from clinic.roles import Capability
from tests.browser.situations import NUMBERS, a_clinic_at_work
from tests.operations.server import inputs
from tests.pages import DONE

pytestmark = pytest.mark.django_db

# A field of each stamped form, and two values: theirs is saved first, mine is sent from a page opened before.
STAMPED = {
    "assessments:measures": ("draft visit", r"measures-pain_on_gripping", "4", "5"),
    "cases:battery": ("draft visit", r"battery-resting_pain", "0", "2"),
    "cases:intake": ("case", r"nights_woken", "4", "5"),
    "cases:notes": ("draft visit", r"notes-minutes", "20", "30"),
    "cases:screening": ("case with a draft program", r"neck-nerve-root", "no", "unknown"),
    "cases:screening_action": ("screening answer", r"action_taken", "Theirs.", "Mine."),
    "rehab:diary": ("case", r"diary-[\d-]+_sets_done", "0", "3"),
    "rehab:equipment": ("case", r"weights_kg", "1", "2"),
    "rehab:program": ("case with a draft program", r"dose-0-sets", "4", "5"),
    "rehab:stage_check": ("draft visit", r"check-test_lift_pain", "2", "3"),
}
# The page carries a stamp of what can't be taken back (`clinic/looked.py`).
LOOKED = {
    "rehab:decision": "draft visit",
    "rehab:program_discard": "case with a draft program",
    "rehab:program_issue": "case with a draft program",
    "rehab:sign": "draft visit",
}
SHOWN_ON = {"rehab:program_discard": "rehab:program"}
OTHERWISE = {
    "cases:addendum": "each addition is a row of its own, which nobody can change",
    "cases:case_close": "the case is locked, and one that is closed is not closed again",
    "cases:visit_begin": "the database keeps one draft a case; whoever is second gets the same",
    "cases:wrist_angle": "each look is a row of its own",
    "rehab:program_withdraw": "the case is locked, and only the program that runs is withdrawn",
    "rehab:referral_given": "writes nothing, and leads on to a stamped form",
    "rehab:referral_letter": "keeps one sheet more, and changes no other row",
}
STALE = "Somebody else has saved this meanwhile"


def views(resolver=None, space=""):
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from views(entry, entry.namespace or space)
        elif isinstance(entry, URLPattern):
            yield f"{space}:{entry.name}", entry.callback


@pytest.fixture
def at_work(physiotherapist, signed_in):
    return a_clinic_at_work(physiotherapist), signed_in(physiotherapist)


def takes_forms(client, name) -> bool:
    number = "1" if NUMBERS.get(name) or name not in NUMBERS else ""
    try:
        address = reverse(name)
    except NoReverseMatch:
        address = reverse(name, args=[number])
    return "POST" in client.options(address).headers.get("Allow", "POST")


def test_every_view_that_writes_into_a_record_is_in_one_of_the_tables(at_work):
    _numbers, client = at_work
    writing = {
        name
        for name, view in views()
        if view.allowed == Capability.WRITE_CLINICAL and takes_forms(client, name)
    }

    tables = (STAMPED.keys(), LOOKED.keys(), OTHERWISE.keys())
    assert sorted(writing) == sorted(name for table in tables for name in table)


@pytest.mark.parametrize("name", STAMPED)
def test_a_form_opened_before_somebody_else_saved_overwrites_nothing(at_work, name):
    (number, pattern, theirs, mine), (numbers, client) = STAMPED[name], at_work
    address = reverse(name, args=[numbers[number]])
    page = client.get(address).content.decode()
    field = re.search(rf'name="({pattern})"', page)[1]
    opened = inputs(page)

    first = client.post(address, opened | {field: theirs} | DONE)
    second = client.post(address, opened | {field: mine} | DONE)

    assert first.status_code == 302, said(first)
    assert (second.status_code, STALE in second.content.decode()) == (422, True)
    assert field_of(client.get(address).content.decode(), field) == theirs


def said(answer) -> list[str]:
    """What a page that comes back says is wrong."""
    return re.findall(r'class="error[^>]*>.*?</', answer.content.decode(), re.DOTALL)


def field_of(page: str, name: str) -> str:
    text = re.search(rf'<textarea\b[^>]*name="{name}"[^>]*>(.*?)</textarea>', page, re.DOTALL)
    return text[1].strip() if text else inputs(page)[name]


@pytest.mark.parametrize("name", LOOKED)
def test_a_page_that_ends_something_carries_what_was_looked_at(at_work, name):
    numbers, client = at_work
    page = client.get(reverse(SHOWN_ON.get(name, name), args=[numbers[LOOKED[name]]]))

    assert re.search(r'name="seen" value="[0-9a-f]{16}"', page.content.decode())
