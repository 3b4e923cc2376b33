"""Controls written directly are those that Django's templates write, sign for sign."""

import datetime

import pytest
from django import forms
from django.forms.renderers import DjangoTemplates
from django.utils.safestring import mark_safe

from clinic.controls import Controls
from clinic.forms import DateInput, TimeInput

SIDES = [("right", "Right & <first>"), ("left", mark_safe("<b>Left</b>")), (None, "not asked")]
GROUPED = [("", "–"), ("Arm's", [("right", "Right"), (3, "Three")]), ("Both", [("both", "Both")])]


class EveryControl(forms.Form):
    text = forms.CharField(max_length=20, help_text="A word.")
    marked = forms.CharField(widget=forms.TextInput({"title": mark_safe("a&amp;b"), "rows": None}))
    count = forms.IntegerField(min_value=0, max_value=10)
    share = forms.DecimalField(widget=forms.NumberInput({"step": "0.1"}), required=False)
    day = forms.DateField(widget=DateInput(min="2026-01-01"))
    time = forms.TimeField(widget=TimeInput(), required=False)
    hidden = forms.CharField(widget=forms.HiddenInput)
    tick = forms.BooleanField(required=False)
    keys = forms.ChoiceField(choices=SIDES, widget=forms.RadioSelect)
    side = forms.ChoiceField(choices=SIDES[:2], required=False)
    one_of = forms.ChoiceField(choices=GROUPED, disabled=True)
    some_of = forms.MultipleChoiceField(choices=GROUPED, widget=forms.SelectMultiple)
    ticks = forms.MultipleChoiceField(choices=SIDES, widget=forms.CheckboxSelectMultiple)
    words = forms.CharField(widget=forms.Textarea({"autofocus": True, "spellcheck": False}))
    secret = forms.CharField(widget=forms.PasswordInput)


FILLED = {
    "text": '"<script>"',
    "marked": mark_safe("<i>kept</i>"),
    "count": 0,
    "share": "2.5",
    "day": datetime.date(2026, 3, 12),
    "time": datetime.time(9, 30),
    "hidden": "it's",
    "tick": True,
    "keys": "left",
    "side": "left",
    "one_of": "3",
    "some_of": ["right", "both"],
    "ticks": ["right"],
    "words": "a < b",
}


@pytest.mark.parametrize("name", EveryControl.base_fields)
@pytest.mark.parametrize("given", [{}, {"initial": FILLED}, {"data": FILLED}, {"data": {}}])
def test_a_control_is_written_as_by_djangos_templates(name, given):
    ours = EveryControl(**given, renderer=Controls(), prefix="p" if "initial" in given else None)
    djangos = EveryControl(**given, renderer=DjangoTemplates(), prefix=ours.prefix)

    assert str(ours[name]) == str(djangos[name])


@pytest.mark.parametrize("name", ["keys", "ticks"])
def test_each_key_of_a_choice_is_written_as_by_djangos_templates(name):
    ours, djangos = (
        EveryControl({"keys": "left"}, renderer=kind())[name]
        for kind in (Controls, DjangoTemplates)
    )

    assert [str(key.tag()) for key in ours] == [str(key.tag()) for key in djangos]
    assert [str(key) for key in ours] == [str(key) for key in djangos]


def test_pages_are_given_the_direct_controls():
    assert type(EveryControl().renderer) is Controls
