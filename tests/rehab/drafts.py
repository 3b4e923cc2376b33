"""Filling in the page of a draft, as a browser would."""


def filled(page, changes=None, **more):
    """What the form of the draft would send."""
    context = page.context
    forms = [context["form"], context["doses"].management_form, *context["doses"].forms]
    values = {form.add_prefix(name): form[name].value() for form in forms for name in form.fields}
    values |= (changes or {}) | more
    return {name: "" if value is None else value for name, value in values.items()}
