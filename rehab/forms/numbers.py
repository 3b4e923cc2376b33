"""Whole numbers from 0, with one sentence for whatever is wrong with them."""

from django import forms


def count(label: str, high: int, message: str) -> forms.IntegerField:
    messages = {"invalid": message, "min_value": message, "max_value": message}
    widget = forms.NumberInput(attrs={"inputmode": "numeric"})
    return forms.IntegerField(
        label=label,
        min_value=0,
        max_value=high,
        required=False,
        error_messages=messages,
        widget=widget,
    )
