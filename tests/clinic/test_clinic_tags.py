"""Sentences, dates, numbers and shapes as pages write them."""

import datetime as dt
import re
from types import SimpleNamespace

import pytest
from django import forms
from django.template import Context, Template
from django.utils import timezone, translation
from django.utils.text import slugify

from clinic.evidence import Figure, Status
from clinic.templatetags.clinic_tags import (
    clock,
    is_blank,
    number,
    say,
    scale_keys,
    shown,
    signed,
    written,
)
from clinic.wording import say as sentence

LATE_IN_UTC = dt.datetime(2026, 3, 12, 23, 30, tzinfo=dt.UTC)


class Rating(forms.Form):
    pain = forms.IntegerField(label="Pain", min_value=0, max_value=10, required=False)


def drawn(source: str, **context) -> str:
    """The source as a page would draw it, with runs of white space as one space."""
    page = Template("{% load clinic_tags %}" + source).render(Context(context))
    return " ".join(page.split())


def chosen(field) -> list[int]:
    return [
        int(value) for value in re.findall(r'value="(\d+)" id="\S+" checked', scale_keys(field))
    ]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (sentence("Grip is %(share)s of the other side.", share="62 %"),
         "Grip is 62 % of the other side."),
        (sentence("Due %(day)s.", day=dt.date(2026, 3, 12)), "Due 12 Mar 2026."),
        (sentence("First: %(rest)s", rest=sentence("%(n)d days", n=3)), "First: 3 days"),
        ("100 % of it", "100 % of it"),
        (Status.CONVENTION, "common practice, no source"),
        ("", ""),
        (None, ""),
    ],
)  # fmt: skip
def test_a_sentence_is_filled_in_and_a_plain_text_is_left_alone(value, text):
    assert say(value) == text


def test_the_text_and_the_values_of_a_sentence_are_both_translated(monkeypatch):
    spanish = {"Side: %(side)s": "Lado: %(side)s", "right": "derecho"}
    monkeypatch.setattr("clinic.templatetags.clinic_tags.gettext", spanish.__getitem__)

    assert say(sentence("Side: %(side)s", side="right")) == "Lado: derecho"


def test_a_moment_is_written_in_the_time_that_is_shown():
    with timezone.override("Europe/Oslo"):
        assert (written(LATE_IN_UTC), clock(LATE_IN_UTC)) == ("13 Mar 2026", "00:30")


@pytest.mark.parametrize(
    ("value", "text"),
    [(dt.date(2026, 3, 2), "2 Mar 2026"), (None, "")],
)
def test_a_date_is_written_out(value, text):
    assert written(value) == text


@pytest.mark.parametrize(
    ("value", "text"), [(dt.time(9, 30), "09:30"), (dt.time(0), "00:00"), (None, "")]
)
def test_a_time_of_day_has_two_digits_each(value, text):
    assert clock(value) == text


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (6, None, "6"), (6.0, None, "6"), (14.84, None, "14.8"), (0.25, None, "0.3"),
        (0.6, 2, "0.60"), (0.625, 2, "0.63"), (-3, None, "−3"), (-0.04, None, "0"),
        (1234.5, None, "1234.5"), (None, None, "–"), ("", 2, "–"), (0, None, "0"),
    ],
)  # fmt: skip
def test_a_number_shows_no_more_decimals_than_asked_for(value, places, text):
    assert number(value, places) == text


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [(95, None, "+95"), (-14, None, "−14"), (0, None, "0"), (0.04, None, "0"), (-0.2, 2, "−0.20"),
     (0.2, 2, "+0.20"), (None, None, "–")],
)  # fmt: skip
def test_a_change_carries_its_sign(value, places, text):
    assert signed(value, places) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"),
        ("", "–"),
        (None, "–"),
        (True, "yes"),
        (False, "no"),
        (dt.date(2026, 3, 2), "2 Mar 2026"),
        (dt.time(9, 30), "09:30"),
    ],
)
def test_what_a_field_holds_is_said_in_words(value, text):
    assert shown(value) == text


def test_decimals_follow_the_language():
    with translation.override("es"):
        assert number(14.8) == "14,8"


@pytest.mark.parametrize(
    ("typed", "keys"), [("10", [10]), ("1", [1]), ("0", [0]), ("", []), ("11", [])]
)
def test_a_rating_marks_the_key_that_was_chosen(typed, keys):
    assert chosen(Rating({"pain": typed})["pain"]) == keys


@pytest.mark.parametrize(
    ("typed", "blank"), [({}, True), ({"pain": ""}, True), ({"pain": "0"}, False)]
)
def test_a_rating_of_nothing_is_an_answer(typed, blank):
    assert is_blank(Rating(typed)["pain"]) == blank


@pytest.mark.parametrize(
    ("state", "name"),
    [("settled", "full"), ("watch", "half"), ("too much", "square"), ("unclassified", "open")],
)
def test_each_session_state_has_a_shape_and_a_word(state, name):
    page = drawn('{% include "components/state.html" %}', state=state)

    drawing = f'<use href="/static/icons/sprite.svg#shape-{name}"></use>'
    assert page == (
        f'<span class="state {slugify(state)}">'
        f'<svg class="shape" aria-hidden="true" focusable="false">{drawing}</svg> {state}</span>'
    )


@pytest.mark.parametrize(("held", "word"), [(True, "held"), (False, "not held"), (None, "unknown")])
def test_each_answer_to_a_criterion_has_a_word(held, word):
    criterion = SimpleNamespace(held=held, sentence="Settled", found="2 of 2", gate="")
    page = drawn('{% include "components/criterion.html" %}', criterion=criterion)

    assert page.split("</svg> ")[1].split("<")[0] == word


def test_a_figure_without_a_title_is_its_own_title():
    figure = Figure(
        value=9, unit="N", source="Writer 1999", status=Status.PUBLISHED, limits="Adults."
    )
    page = drawn('{% include "components/figure_note.html" %}', figure=figure)

    assert page == (
        '<div class="note" role="note" > <p><strong>9 N</strong></p> <p>Adults.</p> '
        '<p class="known">Writer 1999 · published</p> </div>'
    )


def test_the_stamp_of_a_page_is_today_unless_the_page_names_it_already():
    today = timezone.localdate()
    before = drawn("{% today_unless on %}", on=today - dt.timedelta(days=1))

    assert drawn("{% today_unless on %}", on=today) == ""
    assert before == f"{today:%a} {today.day} {today:%b %Y}"
