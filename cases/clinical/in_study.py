"""What a sign changed among the people of its study, counted for 100 of them.

It is arithmetic about the people who were examined there, never about the patient at hand: the share before
the test is that of the study, and where fewer people have a condition to begin with, fewer have it after.

Sources
-------
Appelboam et al. (2008) BMJ 337:a2428: 1740 people with an injured elbow, counts published.
Wainner et al. (2003) Spine 28:52–62, n = 82, read second-hand: 23 % before the four tests of the neck (from
memory); 65 % and 90 % are printed for three and four of them, and follow from the ratios.
"""

from dataclasses import dataclass

from cases.clinical.likelihood import (
    ELBOW_EXTENSION,
    NECK_FOUR_OF_FOUR,
    NECK_THREE_OF_FOUR,
    post_test_probability,
)
from cases.clinical.screening_questions import ELBOW_EXTENSION_COUNTS
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

OF_100 = gettext_noop("of 100")


@dataclass(frozen=True, kw_only=True)
class Result:
    """One result of the test, its likelihood ratio, and how many of 100 with it had the condition.

    `low` and `high` are the same at the ends of the ratio's interval, where one is printed.
    """

    result: str
    ratio: Figure
    after: int
    low: int | None = None
    high: int | None = None

    @property
    def ratio_in_print(self) -> float:
        """The ratio to three figures, as ratios are printed."""
        return float(f"{self.ratio.value:.3g}")


@dataclass(frozen=True, kw_only=True)
class InStudy:
    """How many of 100 people of a study had a condition: all of them, and those with each result."""

    condition: str
    before: Figure
    results: tuple[Result, ...]


def of_100(before: Figure, ratio: float) -> int:
    """Return how many of 100 people with a result of this likelihood ratio had the condition.

    `before` is how many of 100 had it whatever the result. Raises ValueError as `post_test_probability`.
    """
    return round(100 * post_test_probability(before.value / 100, ratio))


def _result(
    result: str, ratio: Figure | None, before: Figure, interval: tuple[float, ...] = ()
) -> Result:
    if ratio is None:
        raise ValueError(f"{result!r} has no likelihood ratio")
    low, high = (of_100(before, end) for end in interval) if interval else (None, None)
    return Result(result=result, ratio=ratio, after=of_100(before, ratio.value), low=low, high=high)


def _fractures_in_100() -> float:
    counts = ELBOW_EXTENSION_COUNTS
    broken = counts["can't straighten, fracture"] + counts["can straighten, fracture"]
    return round(100 * broken / sum(counts.values()), 1)


_INJURED = Figure(
    value=_fractures_in_100(),
    unit=OF_100,
    source="Appelboam et al. 2008 BMJ 337:a2428",
    status=Status.COMPUTED,
    limits=gettext_noop("1740 people with an injured elbow, 538 of them with a fracture"),
)
_NECK = Figure(
    value=23,
    unit=OF_100,
    source="Wainner et al. 2003 Spine 28:52–62",
    status=Status.FROM_MEMORY,
    limits=gettext_noop(
        "82 people; after the tests the study prints 65 and 90; range from the interval of the ratio"
    ),
)

ELBOW_EXTENSION_IN_STUDY = InStudy(
    condition=gettext_noop("a fracture"),
    before=_INJURED,
    results=(
        _result(gettext_noop("Can't straighten fully"), ELBOW_EXTENSION.positive, _INJURED),
        _result(gettext_noop("Straightens fully"), ELBOW_EXTENSION.negative, _INJURED),
    ),
)
NECK_IN_STUDY = InStudy(
    condition=gettext_noop("a compressed nerve root"),
    before=_NECK,
    results=(
        _result(gettext_noop("Three found"), NECK_THREE_OF_FOUR.positive, _NECK, (2.0, 18.6)),
        _result(gettext_noop("Four found"), NECK_FOUR_OF_FOUR.positive, _NECK, (1.7, 38.2)),
    ),
)
