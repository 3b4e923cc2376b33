"""One part of the measures form: its own fields, what is on record of them, and how they are kept."""

from collections.abc import Mapping

from django import forms

from cases.models import Visit


class Part:
    """What the measures form is put together from; `slug` names the part in the audit trail."""

    slug: str

    def __init__(self, visit: Visit):
        """Of a visit that was fetched with what was measured, nothing is fetched again."""
        self.visit, self.affected = visit, visit.case.affected

    def fields(self) -> dict[str, forms.Field]:
        """The fields by name."""
        raise NotImplementedError

    def stored(self) -> dict[str, object]:
        """What is on record by field; nothing when this part has never been filled in."""
        raise NotImplementedError

    def check(self, form: forms.Form) -> None:
        """Add what is wrong between fields to the form's errors."""

    def keep(self, form: forms.Form, changed: Mapping[str, object]) -> bool:
        """Save the `changed` fields that are right; say whether anything was saved."""
        raise NotImplementedError
