"""How much help somebody wants to be shown."""

from django import forms
from django.utils.translation import gettext_lazy as _

from clinic.models import Staff


class HelpForm(forms.ModelForm):
    class Meta:
        model = Staff
        fields = ["shows_hints", "opens_key_map"]
        labels = {
            "shows_hints": _("Show hints"),
            "opens_key_map": _("The key “?” shows the keys of a page"),
        }
        help_texts = {
            "shows_hints": _(
                "Short sentences on how a page works. Units, cautions and errors always stand."
            ),
        }
