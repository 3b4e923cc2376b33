"""Likelihood ratios, and what they do to a probability: only where a published ratio is sound.

The maneuvers of the battery have no row here. One study gives specificity 0 % for two of them and
100 % for a third, on 30 people (Saroja et al. 2014, doi 10.16965/ijpr.2014.699), another had nobody
without tennis elbow (Factor et al. 2023, doi 10.3390/medicina59061159): no ratio of theirs can be
used, so nothing on a page turns a round of the battery into a probability.
"""

import math
from dataclasses import dataclass

from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

Z_95 = 1.959964


@dataclass(frozen=True, kw_only=True)
class Interval:
    """A proportion's limits, each in [0, 1]."""

    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class PublishedRatio:
    """The ratios of one finding; each figure carries its source, its status and its limits."""

    code: str
    finding: str
    positive: Figure | None = None
    negative: Figure | None = None


def wilson_interval(count: int, total: int, *, z: float = Z_95) -> Interval:
    """Return the score interval of the proportion `count`/`total`; it never leaves [0, 1].

    Raises ValueError without a total, when the count is not within it, or when z is not positive.
    Source: Wilson's score method, in the form of Newcombe 1998 Stat Med 17:857–72.
    """
    if total < 1 or not 0 <= count <= total or z <= 0:
        raise ValueError(f"{count} of {total} at z {z} is not a proportion with an interval")
    share, spread = count / total, z * z / total
    middle = share + spread / 2
    half = z * math.sqrt(share * (1 - share) / total + spread / (4 * total))
    # At 0 and at all of them, rounding alone could leave [0, 1] by a hair.
    low = 0.0 if count == 0 else (middle - half) / (1 + spread)
    high = 1.0 if count == total else (middle + half) / (1 + spread)
    return Interval(low=low, high=high)


def post_test_probability(pre_test: float, ratio: float) -> float:
    """Return the probability after a finding: odds before × ratio, as a probability in [0, 1].

    What was certain before (0 or 1) stays so; an infinite ratio makes anything else certain. Raises
    ValueError for a probability outside [0, 1] and for a ratio that is negative or not a number.
    Source: Bayes' rule in odds, as in Fagan 1975 N Engl J Med 293:257.
    """
    if not 0 <= pre_test <= 1:
        raise ValueError(f"pre-test probability {pre_test} is not in [0, 1]")
    if math.isnan(ratio) or ratio < 0:
        raise ValueError(f"likelihood ratio {ratio} is not 0 or more")
    if pre_test in (0, 1):
        return float(pre_test)
    if math.isinf(ratio):
        return 1.0
    odds = pre_test / (1 - pre_test) * ratio
    return odds / (1 + odds)


def _ratio(value: float, source: str, status: Status, limits: str) -> Figure:
    unit = gettext_noop("likelihood ratio")
    return Figure(value=value, unit=unit, source=source, status=status, limits=limits)


_APPELBOAM = "Appelboam et al. 2008 BMJ 337:a2428"
_WAINNER = "Wainner et al. 2003 Spine 28:52–62, n = 82"
_DORF = "Dorf et al. 2007 J Hand Surg Am 32(6):882–6, doi 10.1016/j.jhsa.2007.04.010"
_DORF_LIMITS = (
    "{of}; 81 patients, the other arm as control, looked back; sensitivity and specificity of this "
    "cut-off are from memory, the ratio is computed from them; what the loss is divided by is not "
    "in the abstract"
)


def _grip(percent: int, *, positive: float, negative: float) -> PublishedRatio:
    lost = _DORF_LIMITS.format(of=f"grip at least {percent} % weaker straight than bent")
    less = _DORF_LIMITS.format(of=f"grip less than {percent} % weaker straight than bent")
    return PublishedRatio(
        code=f"grip-difference-{percent}",
        finding=gettext_noop("grip weaker with the elbow straight than bent"),
        positive=_ratio(positive, _DORF, Status.FROM_MEMORY, lost),
        negative=_ratio(negative, _DORF, Status.FROM_MEMORY, less),
    )


ELBOW_EXTENSION = PublishedRatio(
    code="elbow-extension",
    finding=gettext_noop("elbow that can't be fully straightened after an injury"),
    positive=_ratio(
        1.887,
        _APPELBOAM,
        Status.COMPUTED,
        gettext_noop(
            "from the printed counts, 521, 617, 17 and 585; their specificity is 48.7 %, "
            "printed 48.5 %"
        ),
    ),
    negative=_ratio(
        0.0649,
        _APPELBOAM,
        Status.COMPUTED,
        gettext_noop("from the printed counts; printed for adults alone: 0.03, interval 0.01–0.08"),
    ),
)
NECK_THREE_OF_FOUR = PublishedRatio(
    code="neck-three-of-four",
    finding=gettext_noop("three of the four neck tests positive"),
    positive=_ratio(
        6.1, _WAINNER, Status.FROM_MEMORY, gettext_noop("interval 2.0–18.6; one small study")
    ),
)
NECK_FOUR_OF_FOUR = PublishedRatio(
    code="neck-four-of-four",
    finding=gettext_noop("four of the four neck tests positive"),
    positive=_ratio(
        30.3,
        _WAINNER,
        Status.SECOND_HAND,
        gettext_noop("interval printed 1.7–38.2; one small study"),
    ),
)
GRIP_DIFFERENCE = (
    _grip(5, positive=4.15, negative=0.21),
    _grip(8, positive=5.33, negative=0.24),
    _grip(10, positive=7.80, negative=0.24),
)
