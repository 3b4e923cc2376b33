"""Uploading a logo."""

from django import forms
from django.utils.translation import gettext_lazy as _

from clinic.drawn_logo import NOT_A_DRAWING
from clinic.logo import LARGEST, check_logo


class LogoForm(forms.Form):
    file = forms.FileField(
        label=_("Picture file"),
        help_text=_("PNG or SVG, up to 200 kB; a PNG up to 2000 dots on a side."),
        error_messages={
            "required": _("Choose a file."),
            "empty": NOT_A_DRAWING,
        },
    )

    def clean_file(self) -> bytes:
        sent = self.cleaned_data["file"]
        # Read no more than decides whether it is too large.
        data = sent.read(LARGEST + 1)
        check_logo(data)
        return data
