"""What only the physiotherapist can say about the gate, and the decision itself."""

from django import forms
from django.utils.translation import gettext_lazy as _

from clinic.forms import StampedModelForm
from rehab.clinical.progression import Proposal
from rehab.models import Decision, StageCheck

YES_NO = [("", _("not known")), ("true", _("yes")), ("false", _("no"))]


class StageCheckForm(StampedModelForm):
    """Answers that no measure gives; each may be left open."""

    saves_itself = True

    class Meta:
        model = StageCheck
        fields = [
            "other_side_sore", "job_is_light", "test_lift_pain", "return_steps_done",
            "own_goal_met",
        ]  # fmt: skip
        error_messages = {
            "test_lift_pain": {"invalid": _("Pain is a whole number from 0 to 10.")},
        }


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

    def __init__(self, *args, proposal: Proposal, **kwargs):
        super().__init__(*args, **kwargs)
        self.proposal = proposal
        self.initial |= {"made": str(proposal.decision), "made_step": str(proposal.load_step)}

    def clean(self):
        cleaned = super().clean()
        chosen = (cleaned.get("made"), cleaned.get("made_step"))
        proposed = (str(self.proposal.decision), str(self.proposal.load_step))
        if chosen != proposed and not cleaned.get("reason", "").strip():
            self.add_error("reason", _("Say why you decide otherwise."))
        return cleaned
