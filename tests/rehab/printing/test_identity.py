"""A sheet that is printed again on the same day with the same content is the same file."""

import datetime
import time
from dataclasses import replace

import pytest
from django.urls import reverse
from django.utils import timezone

from clinic.models import Logo
from rehab.models import Handout, HandoutFile
from rehab.printing.home_program import home_program_pdf
from rehab.printing.paper import Paper
from tests.browser.situations import NUMBERS, PAPER, a_clinic_at_work
from tests.clinic.logos import png, svg
from tests.rehab.printing.sheets import TODAY, a_program, opened

SHEETS = sorted(PAPER - {"rehab:handout"})


@pytest.fixture
def clock(monkeypatch):
    """Return a function that sets the time of day, for Django and for whoever asks the system."""

    def at(moment: datetime.datetime) -> None:
        monkeypatch.setattr(timezone, "now", lambda: moment)
        monkeypatch.setattr(time, "time", moment.timestamp)

    return at


@pytest.mark.parametrize("logo", [png(), svg()], ids=["png", "svg"])
@pytest.mark.parametrize("view", SHEETS)
def test_a_sheet_printed_twice_on_one_day_is_stored_once(
    signed_in, physiotherapist, clock, view, logo
):
    numbers = a_clinic_at_work(physiotherapist)
    Logo.objects.put(physiotherapist.clinic, logo)
    address = reverse(view, args=[numbers[NUMBERS[view][0]]])
    stored = HandoutFile.objects.count()
    noon = timezone.localtime().replace(hour=12, minute=0)
    clock(noon)
    first = signed_in(physiotherapist).get(address)
    clock(noon + datetime.timedelta(minutes=27))
    second = signed_in(physiotherapist).get(address)

    assert first.content.startswith(b"%PDF")
    assert second.content == first.content
    one, other = Handout.objects.order_by("-pk")[:2]
    assert (one.file, HandoutFile.objects.count()) == (other.file, stored + 1)


def test_the_file_is_dated_by_the_day_of_the_sheet():
    about = opened(home_program_pdf(a_program(), Paper())).metadata

    assert (about.creation_date.date(), about.modification_date.date()) == (TODAY, TODAY)


@pytest.mark.parametrize(
    "changed", [{"remark": "Leave the winch."}, {"on": TODAY + datetime.timedelta(days=1)}]
)
def test_other_words_and_another_day_make_another_identifier(changed):
    sheet = a_program()
    one, other = (
        opened(home_program_pdf(made, Paper())).trailer["/ID"]
        for made in (sheet, replace(sheet, **changed))
    )

    assert one[0] != other[0]
    assert one[0] == one[1]


def test_headings_are_known_by_their_order():
    """Not by where they lie in memory, which is often the same twice and then is not."""
    headings = opened(home_program_pdf(a_program(), Paper())).named_destinations

    assert set(headings) == {f"head-{number}" for number in range(1, len(headings) + 1)}
