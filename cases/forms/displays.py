"""A name for the screen that gets an address."""

from django import forms
from django.utils.translation import gettext_lazy as _

from cases.models import DisplayKey


class DisplayForm(forms.ModelForm):
    """Names a screen of `instance.clinic`. The view holds the clinic's row: no name is there twice."""

    class Meta:
        model = DisplayKey
        fields = ["name"]
        labels = {"name": _("Where the screen hangs")}
        help_texts = {"name": _("For example: staff room.")}
        widgets = {"name": forms.TextInput(attrs={"autocomplete": "off"})}
        error_messages = {"name": {"required": _("Say where the screen hangs.")}}

    def clean_name(self) -> str:
        name = self.cleaned_data["name"]
        if DisplayKey.objects.listed(self.instance.clinic).called(name):
            raise forms.ValidationError(_("A screen of this name has an address already."))
        return name
