"""How tennis elbow goes without treatment: shares of people that were observed, and no model.

No curve is drawn through them. A half-life of 2.5 to 3 months is quoted beside the 89 % of one of
these studies, but it would make 94 to 96 % of them, so it is not used for a page or on paper.

Sources
-------
Ikonen et al. (2022) Clin Orthop Relat Res 480:647–60, doi 10.1097/CORR.0000000000002058: design
published, numbers read second-hand.
Smidt et al. (2002) Lancet 359:657–62: design published, percentages from memory.
"""

from dataclasses import dataclass

from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

_IKONEN = "Ikonen et al. 2022 Clin Orthop Relat Res 480:647–60, doi 10.1097/CORR.0000000000002058"
_SMIDT = "Smidt et al. 2002 Lancet 359:657–62"
_WEEKS, _MONTHS = gettext_noop("weeks"), gettext_noop("months")


@dataclass(frozen=True, kw_only=True)
class Observed:
    """A share of people who did well by their own rating, at one time after they entered a study.

    `at` and `unit` are the time as printed. The share stands for that time alone: nothing is known
    of the time before or after it.
    """

    share: Figure
    at: int
    unit: str
    people: str
    outcome: str

    @property
    def weeks(self) -> float:
        """The time in weeks, for a place on an axis of time; a year has 52."""
        return self.at if self.unit == _WEEKS else self.at * 52 / 12

    @property
    def sentence(self) -> Sentence:
        """What was observed, in whom, and how far the number can be trusted."""
        return say(
            _OBSERVED,
            share=f"{self.share.value:g}",
            people=self.people,
            outcome=self.outcome,
            at=self.at,
            unit=self.unit,
            status=self.share.status.value,
        )


_OBSERVED = gettext_noop("%(people)s: %(share)s %% %(outcome)s by %(at)s %(unit)s (%(status)s).")

CONTROL_ARMS = Observed(
    share=Figure(
        value=89,
        unit="%",
        source=_IKONEN,
        status=Status.SECOND_HAND,
        limits="people without treatment or with placebo; no interval was read",
    ),
    at=12,
    unit=_MONTHS,
    people=gettext_noop("1085 people in the untreated or placebo groups of 24 trials"),
    outcome=gettext_noop("much better or recovered"),
)
WAIT_AND_SEE = Observed(
    share=Figure(
        value=83,
        unit="%",
        source=_SMIDT,
        status=Status.FROM_MEMORY,
        limits="success in the wait-and-see group of 59; 185 people in three groups",
    ),
    at=52,
    unit=_WEEKS,
    people=gettext_noop("59 people who were left to wait and see"),
    outcome=gettext_noop("a success by the study's own rating"),
)
UNTREATED = (CONTROL_ARMS, WAIT_AND_SEE)
