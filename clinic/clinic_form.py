"""What a clinic says of itself, and what its pages and paper go by."""

import zoneinfo
from collections.abc import Iterable
from itertools import groupby

from django import forms
from django.core.validators import RegexValidator
from django.utils.translation import gettext_lazy as _

from clinic.forms import StampedModelForm, check_phone
from clinic.models import Clinic
from clinic.models.clinic import KEPT_YEARS, LENGTHS

MOST_ADDRESS_LINES = 5
# Emergency numbers can be as short as 112.
check_emergency = RegexValidator(
    r"^\+?\d[\d ()./-]+$", _("Enter the emergency number in digits, for example 112.")
)
WRONG_MINUTES = {
    "required": _("Enter the minutes."),
    "invalid": _("Enter whole minutes."),
    "min_value": _("An appointment takes at least 5 minutes."),
    "max_value": _("An appointment takes at most 240 minutes."),
}
WRONG_IDLE = {
    "required": _("Enter the minutes."),
    "invalid": _("Enter whole minutes."),
    "min_value": _("At least 5 minutes: less would sign somebody out within a visit."),
    "max_value": _("At most 30 minutes: a page with a patient's data may not stay open longer."),
}
WRONG_HOURS = {
    "required": _("Enter the hours."),
    "invalid": _("Enter whole hours."),
    "min_value": _("At least 1 hour."),
    "max_value": _("At most 12 hours: after a working day one signs in again."),
}
WRONG_YEARS = {
    "required": _("Enter the years."),
    "invalid": _("Enter whole years."),
    "min_value": _("Records go too early: enter at least %(limit_value)s."),
    "max_value": _("Enter at most %(limit_value)s."),
}


def zone_choices(on_record: str) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return UTC and every zone named after a place, by continent; the one on record is always there."""
    places = (zone for zone in zoneinfo.available_timezones() if zone[:4] != "Etc/" and "/" in zone)
    names = sorted({*places, on_record} - {"UTC"})
    grouped = [
        (continent, list(_named(zones)))
        for continent, zones in groupby(names, key=lambda zone: zone.split("/")[0])
    ]
    return [("UTC", [("UTC", "UTC")]), *grouped]


def _named(zones: Iterable[str]) -> Iterable[tuple[str, str]]:
    """The place first: typing its first letters finds it in the list."""
    for zone in zones:
        yield zone, zone.partition("/")[2].replace("_", " ") or zone


class ClinicForm(StampedModelForm):
    address = forms.CharField(
        label=_("Address"),
        max_length=200,
        widget=forms.Textarea(attrs={"rows": 3, "autocomplete": "off"}),
        help_text=_("As it stands under every sheet, a line each."),
        error_messages={"required": _("Enter the address.")},
    )

    class Meta:
        model = Clinic
        fields = [
            "name",
            "address",
            "phone",
            "email",
            "emergency_phone",
            "time_zone",
            "grip_unit",
            "grip_rest_s",
            "paper",
            "diagnosis_codes",
            "snomed_licence",
            *(f"{kind}_minutes" for kind in LENGTHS),
            "reminder_days",
            "idle_minutes",
            "session_hours",
            "managers_need_code",
            *KEPT_YEARS,
            "correction_days",
        ]
        widgets = {
            "name": forms.TextInput(attrs={"autocomplete": "off"}),
            "phone": forms.TextInput(attrs={"type": "tel", "autocomplete": "off"}),
            "emergency_phone": forms.TextInput(attrs={"type": "tel", "autocomplete": "off"}),
            "grip_unit": forms.RadioSelect,
            "grip_rest_s": forms.RadioSelect,
            "paper": forms.RadioSelect,
            "diagnosis_codes": forms.RadioSelect,
            "snomed_licence": forms.TextInput(attrs={"autocomplete": "off"}),
            "reminder_days": forms.RadioSelect,
            "correction_days": forms.RadioSelect,
        }
        labels = {
            "name": _("Name of the clinic"),
            "phone": _("Phone"),
            "email": _("E-mail"),
            "emergency_phone": _("Emergency number"),
            "time_zone": _("Time zone"),
            "grip_unit": _("Unit on the dynamometer"),
            "grip_rest_s": _("Rest between grip trials"),
            "paper": _("Paper in the printer"),
            "diagnosis_codes": _("Codes of diagnoses"),
            "snomed_licence": _("Licence for SNOMED CT"),
            "first_minutes": _("First visit"),
            "follow_up_minutes": _("Follow-up"),
            "review_minutes": _("Review"),
            "discharge_minutes": _("Discharge"),
            "reminder_days": _("Reminder by e-mail"),
            "idle_minutes": _("Signed out when nobody has typed or pointed for"),
            "session_hours": _("Signed out in any case after"),
            "managers_need_code": _("Managers sign in with a code of an app, too"),
            "adult_years": _("Adults: years after the last contact"),
            "child_until_age": _("Under 17 at the last contact: until which birthday"),
            "child_until_age_if_17": _("17 at the last contact: until which birthday"),
            "correction_days": _("To answer a request for correction"),
        }
        error_messages = {
            "name": {"required": _("Enter the name of the clinic.")},
            "phone": {"required": _("Enter the phone number.")},
            "emergency_phone": {"required": _("Enter the number to call in an emergency.")},
            "email": {
                "invalid": _("Enter the e-mail address in full, for example desk@example.org.")
            },
            "idle_minutes": WRONG_IDLE,
            "session_hours": WRONG_HOURS,
        }
        error_messages |= {f"{kind}_minutes": WRONG_MINUTES for kind in LENGTHS}
        error_messages |= {name: WRONG_YEARS for name in KEPT_YEARS}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["phone"].validators.append(check_phone)
        self.fields["emergency_phone"].validators.append(check_emergency)
        zone = self.fields["time_zone"]
        self.fields["time_zone"] = forms.ChoiceField(
            label=zone.label, choices=zone_choices(self.instance.time_zone)
        )

    def lengths(self) -> list[forms.BoundField]:
        return [self[f"{kind}_minutes"] for kind in LENGTHS]

    def kept_years(self) -> list[forms.BoundField]:
        return [self[name] for name in KEPT_YEARS]

    def clean_address(self) -> str:
        """The address without blank lines; the foot of a sheet has room for a few."""
        lines = [line.strip() for line in self.cleaned_data["address"].splitlines()]
        kept = [line for line in lines if line]
        if len(kept) > MOST_ADDRESS_LINES:
            raise forms.ValidationError(_("Use at most 5 lines for the address."))
        return "\n".join(kept)
