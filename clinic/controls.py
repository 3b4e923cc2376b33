"""The controls of forms, written without templates.

Django writes a radio through four templates, and a page of the battery has hundreds of them. What comes
out is the same, sign for sign; a test compares.
"""

from collections.abc import Mapping

from django.forms.renderers import DjangoTemplates
from django.utils.html import conditional_escape as escaped

FOLDER = "django/forms/widgets"
INPUTS = {
    f"{FOLDER}/{name}.html"
    for name in ("text", "number", "date", "time", "hidden", "checkbox", "radio_option")
}


class Controls(DjangoTemplates):
    """Django's own renderer, but for the controls that pages hold by the hundred."""

    def render(self, template_name, context, request=None) -> str:
        widget = context.get("widget")
        if template_name in INPUTS and not widget.get("wrap_label"):
            return _input(widget)
        if template_name == f"{FOLDER}/select.html":
            return _select(widget)
        return super().render(template_name, context, request)


def _input(widget: Mapping) -> str:
    value = "" if widget["value"] is None else f' value="{escaped(widget["value"])}"'
    kind, name = escaped(widget["type"]), escaped(widget["name"])
    return f'<input type="{kind}" name="{name}"{value}{_attributes(widget)}>'


def _select(widget: Mapping) -> str:
    groups = "".join(_group(name, options) for name, options, _place in widget["optgroups"])
    return f'<select name="{escaped(widget["name"])}"{_attributes(widget)}>{groups}\n</select>'


def _group(name: str | None, options: list[Mapping]) -> str:
    listed = "".join(f"\n  {_option(option)}" for option in options)
    if not name:
        return listed
    return f'\n  <optgroup label="{escaped(name)}">{listed}\n  </optgroup>'


def _option(option: Mapping) -> str:
    value, label = escaped(str(option["value"])), escaped(option["label"])
    return f'<option value="{value}"{_attributes(option)}>{label}</option>\n'


def _attributes(widget: Mapping) -> str:
    given = (
        (escaped(name), value) for name, value in widget["attrs"].items() if value is not False
    )
    return "".join(
        f" {name}" if value is True else f' {name}="{escaped(value)}"' for name, value in given
    )
