"""Filling in the form of a page that was opened, as a browser would."""

# What htmx sends along with all that it asks for.
HTMX = {"HTTP_HX_REQUEST": "true"}
# A save while typing.
TYPING = HTMX
# What the form's button sends along.
DONE = {"done": "1"}


def typed(page, changes=None, **more) -> dict:
    """What the form of an opened page would send, but for `changes` by field name."""
    form = page.context["form"]
    values = {name: form[name].value() for name in form.fields}
    changed = values | (changes or {}) | more
    return {
        form.add_prefix(name): "" if value is None else value for name, value in changed.items()
    }
