"""What a person says of a file that is to be brought in: how it is written, what its columns mean."""

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from cases.clinical.names import alike
from cases.importing import columns, reading
from cases.importing.dates import ORDERS, parse_moment
from cases.importing.survey import Look, Survey, survey
from cases.models import Appointment, Import, Patient
from cases.models.patient import languages
from clinic.models import Staff
from clinic.templatetags.clinic_tags import say, written

LARGEST_MB = 20
SPREADSHEET = b"PK\x03\x04"  # how files of spreadsheet programs begin: they are ZIP archives


class UploadForm(forms.Form):
    kind = forms.ChoiceField(
        label=_("What is in it"),
        choices=Import.Kind,
        widget=forms.RadioSelect,
        error_messages={"required": _("Say what is in the file.")},
    )
    file = forms.FileField(
        label=_("File"),
        help_text=_("CSV, up to %(most)s MB; its first row names the columns.")
        % {"most": LARGEST_MB},
        error_messages={
            "required": _("Choose a file."),
            "empty": _("There is nothing in the file."),
        },
    )

    def clean_file(self):
        sent = self.cleaned_data["file"]
        if sent.size > LARGEST_MB * 1_000_000:
            told = _("The file is larger than %(most)s MB. Cut it into several.")
            raise forms.ValidationError(told, params={"most": LARGEST_MB})
        if sent.read(4) == SPREADSHEET:
            raise forms.ValidationError(
                _("This is a spreadsheet. Open it where it was made and save it as CSV.")
            )
        sent.seek(0)
        return sent


class WrittenForm(forms.Form):
    """How the signs of the file are written, and what stands between its cells."""

    encoding = forms.ChoiceField(label=_("Encoding"), choices=list(reading.ENCODINGS.items()))
    delimiter = forms.ChoiceField(
        label=_("Between the cells"),
        choices=[(sign, _(name)) for sign, name in reading.DELIMITERS.items()],
    )


class ColumnsForm(forms.Form):
    """Which column is which, in what order dates are written, and what the words in a column mean.

    The questions follow from the file and from the columns that are chosen so far.
    """

    def __init__(self, data, *, run: Import, look: Look, written: dict[str, str]):
        if data is not None:
            data = data.copy()
        super().__init__(data, initial=written)
        self.run, self.look, self.written = run, look, written
        # Without an id: the page has a list of each, and its id belongs to that.
        bare = forms.HiddenInput(attrs={"id": False})
        self.fields["encoding"] = forms.CharField(widget=bare)
        self.fields["delimiter"] = forms.CharField(widget=bare, strip=False)
        self._ask_columns()
        self.survey: Survey = survey(run.parts(), columns=self.places, **written)
        for code in self.survey.orders:
            self._ask_order(code)
        for code, words in self.survey.words.items():
            if not self.survey.has_too_many(code):
                self._ask_words(code, words)

    def _ask_columns(self) -> None:
        guessed = columns.guess(self.look.head, self.run.kind)
        headings = [(str(place), text[:60]) for place, text in self.look.named]
        for column in columns.COLUMNS[self.run.kind]:
            self.fields[column.code] = forms.ChoiceField(
                label=say(column.label),
                choices=[("", _("not in the file")), *headings],
                required=False,
                initial=str(guessed.get(column.code, "")),
            )

    @cached_property
    def places(self) -> dict[str, int]:
        """The place of each column that is chosen so far."""
        chosen = {c.code: self[c.code].value() for c in columns.COLUMNS[self.run.kind]}
        known = {str(place) for place, _text in self.look.named}
        return {code: int(value) for code, value in chosen.items() if value in known}

    def _ask_order(self, code: str) -> None:
        count = self.survey.orders[code]
        texts = [plain for plain in (count.example, *self._examples(code)) if plain]
        self._ask(
            f"order_{code}",
            forms.ChoiceField(
                label=gettext("Order of “%(column)s”") % {"column": self._heading(code)},
                choices=[(order, _shown(order, texts)) for order in ORDERS],
                widget=forms.RadioSelect,
                error_messages={
                    "required": gettext(
                        "Both orders are possible. Say which one the file keeps to."
                    )
                },
            ),
            proposed=count.settled,
        )

    def _examples(self, code: str) -> list[str]:
        place = self.places[code]
        return [reading.plain(row[place]) for row in self.look.first if place < len(row)]

    def _heading(self, code: str) -> str:
        return dict(self.look.named)[self.places[code]]

    def _ask_words(self, code: str, words: dict[str, str]) -> None:
        for number, text in enumerate(words.values()):
            self._ask(
                f"word_{code}_{number}",
                forms.ChoiceField(
                    label=text[:60],
                    choices=[("", _("choose")), *self._means(code)],
                    error_messages={
                        "required": gettext("Say what “%(text)s” means.") % {"text": text[:60]}
                    },
                ),
                proposed=self._proposed(code, text),
            )

    def _ask(self, name: str, field: forms.Field, *, proposed: str | None) -> None:
        """Ask one more question; what follows from columns just chosen is answered as proposed at first."""
        field.initial = proposed or ""
        self.fields[name] = field
        if self.is_bound and name not in self.data and proposed:
            self.data[name] = proposed

    def _means(self, code: str) -> list[tuple[str, str]]:
        if code == "practitioner":
            nobody = ("nobody", _("nobody here: leave these rows out"))
            return [*((str(one.pk), str(one)) for one in self.staff), nobody]
        choices = {
            "sex": Patient.Sex.choices,
            "handedness": Patient.Handedness.choices,
            "language": languages(),
            "kind": Appointment.Kind.choices,
        }
        return choices[code]

    @cached_property
    def staff(self) -> list[Staff]:
        return list(Staff.objects.of(self.run.clinic).who_treat())

    def _proposed(self, code: str, text: str) -> str | None:
        if code != "practitioner":
            return columns.meaning(code, text)
        near = [one for one in self.staff if columns.key(text) in _names(one)]
        near = near or [one for one in self.staff if alike(text, str(one))]
        return str(near[0].pk) if len(near) == 1 else None

    def clean(self):
        cleaned = super().clean()
        for code, why in columns.lacking(self.places, self.run.kind):
            self.add_error(code, say(why))
        seen: dict[int, str] = {}
        for code, place in self.places.items():
            if seen.setdefault(place, code) != code:
                self.add_error(code, _("This column is chosen twice."))
        for code in self.places:
            if self.survey.has_too_many(code):
                self.add_error(code, _("This column has too many different words to be that one."))
        return cleaned

    @property
    def column_fields(self):
        return [self[column.code] for column in columns.COLUMNS[self.run.kind]]

    @property
    def date_fields(self):
        return [self[f"order_{code}"] for code in self.survey.orders]

    @property
    def word_groups(self):
        """For each column with words: its heading, and the question for each word."""
        return [
            (
                self._heading(code),
                [self[name] for name in self.fields if name.startswith(f"word_{code}_")],
            )
            for code, words in self.survey.words.items()
            if words and not self.survey.has_too_many(code)
        ]

    def said(self) -> dict[str, object]:
        """All that was said of the file, as the run keeps it."""
        return {
            **self.written,
            "head": list(self.look.head),
            "columns": self.places,
            "total": self.survey.total,
            "orders": {code: self.cleaned_data[f"order_{code}"] for code in self.survey.orders},
            "meanings": {
                code: {
                    key: self.cleaned_data[f"word_{code}_{number}"]
                    for number, key in enumerate(words)
                }
                for code, words in self.survey.words.items()
            },
        }


def _names(staff: Staff) -> set[str]:
    """What a practitioner may be called in another program."""
    first, last = columns.key(staff.first_name), columns.key(staff.last_name)
    return {f"{first} {last}", f"{last} {first}", last, first, columns.key(staff.username)}


def _shown(order: str, texts: list[str]) -> str:
    """An order with what it makes of the first date that it fits."""
    for text in texts:
        try:
            day = parse_moment(text, order)[0]
        except ValueError:
            continue
        return gettext("%(order)s: %(text)s is %(day)s") % {
            "order": say(ORDERS[order]),
            "text": text,
            "day": written(day),
        }
    return say(ORDERS[order])


class BeginForm(forms.Form):
    """Whether errors keep all rows out, and whom the person knows to be somebody else."""

    NOTHING, GOOD = "nothing", "good"
    errors_choice = forms.ChoiceField(
        label=_("Rows with errors"),
        choices=[
            (NOTHING, _("all or nothing: don't begin while there are any")),
            (GOOD, _("leave them out and bring in the good ones")),
        ],
        widget=forms.RadioSelect,
        initial=NOTHING,
    )
    anyway = forms.TypedMultipleChoiceField(
        label=_("Bring in anyway"), coerce=int, required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, data, *, known):
        super().__init__(data)
        self.fields["anyway"].choices = [(row.pk, row.line) for row in known]
