"""What a stage still waits for, in the patient's words: one sentence for each row that a stage asks for.

The figures are those that the criterion was judged by, as it stood; where they come from stands with the
criterion.
"""

from clinic.wording import Sentence, gettext_noop, say, short

from .criterion import Criterion

_ = gettext_noop

_AT_LOAD = _(
    "The full dose settles in %(need)s sessions in a row, with the most that you can lift %(band)s times."
)
_IN_PERCENT = ("ratio_for_heavy", "ratio_for_return")

# By the code of the criterion's row; the places are filled from its gate.
WORDS = {
    **{f"stage_{stage}_days": _("At least %(days)s days in this stage.") for stage in range(1, 6)},
    "days_running": _("Holds of %(seconds)s seconds settle on %(need)s days in a row."),
    "night_wakings": _("Nights a week that your elbow wakes you: %(nights)s at most."),
    "rest_pain": _("Your pain at rest is %(pain)s or less."),
    "settled_running": _("The full dose settles in %(need)s sessions in a row."),
    "load_gain_kg": _("You lift %(kg)s kg more than when this stage began."),
    "prtee_rise": _("Your score on the elbow form is no higher than the last time."),
    "grip_change_n": _("Your grip before it hurts has not dropped beyond its error."),
    "ratio_for_heavy": _("Your grip is %(percent)s %% of the other arm or more."),
    "ratio_for_return": _("Your grip is %(percent)s %% of the other arm or more."),
    "prtee_drop": _(
        "Your score on the elbow form is %(drop)s points lower than at the start, or no more than %(low)s."
    ),
    "test_lift_pain": _("Your pain in the test lift is %(pain)s or less."),
    "clear_days_for_return": _("No session is too much for %(days)s days."),
    "clear_days_for_discharge": _("No session is too much for %(days)s days."),
    "return_steps": _("All steps of your return plan are done."),
    "prtee_for_discharge": _(
        "Your score on the elbow form is no more than %(low)s, or you have reached your own goal."
    ),
    "back_days_least": _("You stay in the stage below for %(days)s days."),
}  # fmt: skip


def in_plain_words(criterion: Criterion) -> Sentence:
    """Return what a criterion of a stage asks for, as one sentence to the patient.

    A criterion of an earlier edition that has no sentence here is told in its own words.
    """
    code, asked = criterion.figure.code, dict(criterion.gate.values)
    if code not in WORDS:
        return say(_("%(words)s: %(gate)s."), words=criterion.words, gate=criterion.gate)
    if code in _IN_PERCENT:
        return say(WORDS[code], percent=round(100 * float(str(asked["ratio"]))))
    text = _AT_LOAD if "band" in asked else WORDS[code]
    return say(text, **{name: short(float(str(value))) for name, value in asked.items()})
