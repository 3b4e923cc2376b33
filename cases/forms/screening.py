"""The screening questions as one long form, and what was done about an answer."""

from dataclasses import dataclass

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.clinical.screening import QUESTIONS, Action, Question
from cases.forms.screening_signs import SignFields, outcomes_of
from cases.models import Screening, ScreeningAnswer
from clinic.forms import Stamped, StampedModelForm


def answer_name(question: Question) -> str:
    return question.code


def note_name(question: Question) -> str:
    return f"{question.code}-note"


@dataclass(frozen=True, kw_only=True)
class Row:
    """One question with its two fields, and what was answered in the round before."""

    question: Question
    answer: forms.BoundField
    note: forms.BoundField
    before: ScreeningAnswer | None

    @property
    def is_open(self) -> bool:
        """Whether the answer asks for more than a glance: what it means is then shown at once."""
        return self.answer.value() in (ScreeningAnswer.Answer.YES, ScreeningAnswer.Answer.UNKNOWN)


class ScreeningForm(SignFields, Stamped, forms.Form):
    """Every question with yes, no or not known; "no to the rest" answers those still open with no."""

    saves_itself = True

    def __init__(self, *args, screening: Screening | None, before: Screening | None, **kwargs):
        self.given = _by_question(screening)
        self.before = _by_question(before)
        self.looked_for = outcomes_of(screening)
        super().__init__(*args, **kwargs)
        for question in QUESTIONS:
            self._add(question, self.given.get(question.code))
        self._add_signs()

    def _add(self, question: Question, given: ScreeningAnswer | None) -> None:
        label = _(question.condition)
        self.fields[answer_name(question)] = forms.ChoiceField(
            label=label,
            choices=ScreeningAnswer.Answer.choices,
            required=False,
            widget=forms.RadioSelect,
            initial=given.answer if given else "",
        )
        self.fields[note_name(question)] = forms.CharField(
            label=_("Note: %(condition)s") % {"condition": label},
            max_length=ScreeningAnswer._meta.get_field("note").max_length,
            required=False,
            initial=given.note if given else "",
        )

    def stored(self) -> dict[str, object]:
        return (
            {code: row.answer for code, row in self.given.items()}
            | {f"{code}-note": row.note for code, row in self.given.items()}
            | self.stored_signs()
        )

    def clean(self):
        if "all_no" in self.data:
            for question in QUESTIONS:
                name = answer_name(question)
                self.cleaned_data[name] = self.cleaned_data.get(name) or ScreeningAnswer.Answer.NO
        cleaned = super().clean()
        for question in QUESTIONS:
            if cleaned.get(note_name(question)) and not cleaned.get(answer_name(question)):
                self.add_error(
                    answer_name(question), _("There is a note, but no answer. Choose one.")
                )
        return cleaned

    def groups(self) -> list[tuple[Action, list[Row]]]:
        """The rows under what a yes calls for, the most urgent first."""
        return [
            (action, [self._row(question) for question in QUESTIONS if question.action is action])
            for action in Action
        ]

    def _row(self, question: Question) -> Row:
        return Row(
            question=question,
            answer=self[answer_name(question)],
            note=self[note_name(question)],
            before=self.before.get(question.code),
        )

    def keep(self, screening: Screening) -> dict[str, list[str]]:
        """Write the answers and signs into the round and say which are new."""
        new, changed = [], []
        for question in QUESTIONS:
            answer, note = (
                self.cleaned_data[name] for name in (answer_name(question), note_name(question))
            )
            row = self.given.get(question.code)
            if answer and row is None:
                new.append(ScreeningAnswer(question=question.code, answer=answer, note=note))
            elif answer and (row.answer, row.note) != (answer, note):
                row.answer, row.note = answer, note
                changed.append(row)
        screening.write(new=new, changed=changed)
        self.given |= {row.question: row for row in new}
        signs = self.keep_signs(screening)
        self.restamp()
        questions = [row.question for row in (*new, *changed)]
        return {"questions": questions} | ({"signs": signs} if signs else {})


def _by_question(screening: Screening | None) -> dict[str, ScreeningAnswer]:
    return {answer.question: answer for answer in screening.answers.all()} if screening else {}


class ScreeningActionForm(StampedModelForm):
    """What was done about an answer that must be acted on."""

    class Meta:
        model = ScreeningAnswer
        fields = ["action_taken"]
        widgets = {"action_taken": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "action_taken": gettext_lazy(
                "For example: whom you called, where the patient goes, what was agreed. "
                "Your name and the time are kept with it."
            )
        }
        error_messages = {"action_taken": {"required": gettext_lazy("Write what was done.")}}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["action_taken"].required = True
