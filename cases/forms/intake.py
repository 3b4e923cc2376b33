"""The first history, with the injections and the patient's own activities."""

import datetime

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.clinical.intake import Provocation
from cases.forms.load_history import LoadHistoryForm
from cases.forms.told import NOT_ASKED, Count, YesNo, keys, rating, ticks
from cases.models import Activity, Case, Injection, Intake
from clinic.forms import DateInput, StampedModelForm

INJECTION_ROWS = (1, 2, 3)
MOST_ACTIVITIES, WANTED_ACTIVITIES = 5, 3
NIGHTS = [*((str(night), str(night)) for night in range(8)), NOT_ASKED]
LASTS = [
    ("true", gettext_lazy("yes")),
    ("false", gettext_lazy("no")),
    ("", gettext_lazy("not known")),
]


class IntakeForm(LoadHistoryForm, StampedModelForm):
    """What the patient tells; it saves itself while it is typed."""

    saves_itself = True
    STAYS = gettext_lazy(
        "What was rated already stays in the list, so that ratings can be compared: %(rated)s."
    )

    manner = keys(Intake.Manner.choices, label=gettext_lazy("How it began"))
    fluoroquinolone = keys(
        Intake.Fluoroquinolone.choices,
        label=gettext_lazy("Fluoroquinolone antibiotic"),
        help_text=gettext_lazy("Ciprofloxacin, levofloxacin, moxifloxacin, ofloxacin."),
    )
    rest_pain = rating(gettext_lazy("Pain at rest"))
    worst_pain = rating(gettext_lazy("Worst pain in 24 h"))
    nights_woken = keys(
        NIGHTS, coerce=int, empty_value=None, label=gettext_lazy("Nights woken in a week")
    )
    lasts_over_24_h = YesNo(
        choices=LASTS, label=gettext_lazy("Does light use hurt for more than 24 hours afterwards?")
    )
    found_at = keys(
        [*Intake.Place.choices, NOT_ASKED],
        label=gettext_lazy("Where does one fingertip find it?"),
    )
    spreads_to = ticks(Intake.Spread.choices, label=gettext_lazy("Where it spreads"))
    weak_grip = YesNo(label=gettext_lazy("Is the grip weak, or does it let go?"))
    night_pain = YesNo(label=gettext_lazy("Does it hurt at night?"))
    stiff_minutes = Count(
        label=gettext_lazy("Stiff in the morning"),
        help_text=gettext_lazy("How long until it eases; 0 when it is not stiff."),
        most=1440,
        why=gettext_lazy("A day has 1440 minutes."),
    )
    provoked_by = ticks(
        lambda: [(slug, _(label)) for slug, label in Provocation.choices()],
        label=gettext_lazy("What provokes it"),
    )
    earlier_episodes = Count(
        label=gettext_lazy("Earlier episodes at this elbow"),
        most=50,
        why=gettext_lazy("Episodes from 0 to 50."),
    )
    neck_pain = YesNo(label=gettext_lazy("Does the neck hurt, or is it stiff?"))
    activities = forms.CharField(
        label=gettext_lazy("What the patient wants to do again"),
        help_text=gettext_lazy(
            "Three to five activities in the patient's words, one on each line."
        ),
        widget=forms.Textarea(attrs={"rows": 5}),
        required=False,
    )

    class Meta:
        model = Intake
        fields = [
            "manner",
            "story",
            "occupation",
            "sport",
            "provoked_by",
            "rest_pain",
            "worst_pain",
            "nights_woken",
            "lasts_over_24_h",
            "earlier_treatment",
            "medicines",
            "fluoroquinolone",
            "found_at",
            "spreads_to",
            "weak_grip",
            "night_pain",
            "stiff_minutes",
            "earlier_episodes",
            "neck_pain",
            "other_joints",
            *LoadHistoryForm.base_fields,
        ]
        widgets = {
            name: forms.Textarea(attrs={"rows": 3})
            for name in ("story", "earlier_treatment", "medicines")
        }

    def __init__(self, *args, case: Case, today: datetime.date, **kwargs):
        self.case, self.today = case, today
        self.injections = list(case.injections.all())
        self.named = {activity.name: activity for activity in case.activities.all()}
        super().__init__(*args, **kwargs)
        self.initial["activities"] = "\n".join(self.named)
        for row in INJECTION_ROWS:
            self._add_injection(row)

    def _add_injection(self, row: int) -> None:
        had = self.injections[row - 1] if row <= len(self.injections) else None
        self.fields[f"injection_{row}_on"] = forms.DateField(
            label=_("Injection %(row)s, date") % {"row": row},
            required=False,
            widget=DateInput(),
            initial=had.given_on if had else None,
        )
        self.fields[f"injection_{row}_what"] = forms.ChoiceField(
            label=_("Injection %(row)s, substance") % {"row": row},
            required=False,
            choices=[("", "–"), *Injection.Substance.choices],
            initial=had.substance if had else "",
        )

    def injection_rows(self):
        """Row number, date field and substance field, for the table."""
        return [(n, self[f"injection_{n}_on"], self[f"injection_{n}_what"]) for n in INJECTION_ROWS]

    def stored(self) -> dict[str, object]:
        extra = {"activities": "\n".join(self.named)} if self.named else {}
        for row, had in enumerate(self.injections[: len(INJECTION_ROWS)], start=1):
            extra |= {f"injection_{row}_on": had.given_on, f"injection_{row}_what": had.substance}
        return super().stored() | extra

    def clean_activities(self) -> str:
        names = [" ".join(line.split()) for line in self.cleaned_data["activities"].splitlines()]
        names = [name for name in names if name]
        if len(names) > MOST_ACTIVITIES:
            raise forms.ValidationError(_("Five at most: leave out the ones that matter least."))
        if len({name.casefold() for name in names}) < len(names):
            raise forms.ValidationError(_("One activity stands there twice. Write it once."))
        longest = Activity._meta.get_field("name").max_length
        if any(len(name) > longest for name in names):
            raise forms.ValidationError(
                _("Shorten it to %(longest)s characters a line."), params={"longest": longest}
            )
        return "\n".join(names)

    def clean(self):
        seen = set()
        for row in INJECTION_ROWS:
            on, what = f"injection_{row}_on", f"injection_{row}_what"
            given = (self.cleaned_data.get(on), self.cleaned_data.get(what))
            self._check_injection(on, what, *given, twice=given in seen)
            seen.add(given)
        return super().clean()

    def _check_injection(self, on: str, what: str, day, substance, *, twice: bool) -> None:
        born = self.case.patient.born
        problems = (
            (
                day and day > self.today,
                on,
                _("An injection that was given can't be in the future."),
            ),
            (day and day < born, on, _("That is before the patient was born. Check the year.")),
            (day and not substance, what, _("Choose what was injected.")),
            (
                substance and not day and on not in self.errors,
                on,
                _("Enter the date, or the best guess."),
            ),
            (day and substance and twice, on, _("This injection is in the list already.")),
        )
        for field, message in [(field, message) for wrong, field, message in problems if wrong][:1]:
            self.add_error(field, message)

    def keep(self) -> list[str]:
        """Save the intake and what belongs to it, and say which fields changed."""
        self.instance.case = self.case
        self.save()
        self.injections = Injection.objects.replace(self.case, self._given_injections())
        stay = Activity.objects.keep(self.case, self.cleaned_data["activities"].splitlines())
        self.named = {activity.name: activity for activity in self.case.activities.all()}
        if stay:
            self.add_error("activities", self.STAYS % {"rated": ", ".join(stay)})
        changed = sorted(set(self.changed_data) - {"opened_with", "compared"})
        self.restamp()
        return changed

    def _given_injections(self) -> list[tuple[datetime.date, str]]:
        rows = [
            (self.cleaned_data[f"injection_{row}_on"], self.cleaned_data[f"injection_{row}_what"])
            for row in INJECTION_ROWS
        ]
        return [(day, substance) for day, substance in rows if day]
