"""What only the physiotherapist can say about the gate, and the decision itself."""

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from clinic.forms import StampedModelForm
from rehab.clinical.progression import Proposal
from rehab.forms.numbers import count
from rehab.models import Decision, StageCheck

OPEN = [("", _("not known")), ("True", _("yes")), ("False", _("no"))]


def yes_no(name: str) -> forms.TypedChoiceField:
    """A question of the stage check that may stay open, as three keys."""
    asked = StageCheck._meta.get_field(name)
    return forms.TypedChoiceField(
        label=capfirst(asked.verbose_name),
        help_text=asked.help_text,
        choices=OPEN,
        coerce=lambda answer: answer == "True",
        empty_value=None,
        required=False,
        widget=forms.RadioSelect,
    )


class StageCheckForm(StampedModelForm):
    """Answers that no measure gives; each may be left open."""

    saves_itself = True
    other_side_sore = yes_no("other_side_sore")
    test_lift_pain = count(
        _("Pain in the test lift of the job or sport"),
        10,
        _("Pain is a whole number from 0 to 10."),
    )
    return_steps_done = count(
        _("Steps of the return plan done"), 21, _("The longest return plan has 21 steps.")
    )
    own_goal_met = yes_no("own_goal_met")

    class Meta:
        model = StageCheck
        fields = [
            "other_side_sore", "job_is_light", "test_lift_pain", "return_steps_done",
            "own_goal_met",
        ]  # fmt: skip


class DecisionForm(forms.Form):
    """Accepting the proposal, or deciding otherwise with a reason."""

    made = forms.ChoiceField(label=_("Decision"), choices=Decision.Choice.choices)
    made_step = forms.ChoiceField(label=_("Load"), choices=Decision.Step.choices)
    reason = forms.CharField(
        label=_("Reason for deciding otherwise"),
        max_length=300,
        required=False,
        help_text=_("It stays in the record beside what the rules proposed."),
    )

    def __init__(self, *args, proposal: Proposal, reason: str = "", **kwargs):
        super().__init__(*args, **kwargs)
        self.proposal = proposal
        self.initial |= {
            "made": str(proposal.decision),
            "made_step": str(proposal.load_step),
            "reason": reason,
        }

    def clean_reason(self) -> str:
        return self.cleaned_data["reason"].strip()

    def clean(self):
        cleaned = super().clean()
        chosen = (cleaned.get("made"), cleaned.get("made_step"))
        proposed = (str(self.proposal.decision), str(self.proposal.load_step))
        if None not in chosen and chosen != proposed and not cleaned.get("reason"):
            self.add_error("reason", _("Say why you decide otherwise."))
        return cleaned
