"""The patient's own activities: 3 to 5 named at the first visit, each 0 (unable) to 10 (as before).

Higher is better, the opposite of pain. Only the same activities may be compared.

Source
------
Stratford et al. (1995) Physiother Can 47:258–63: mean of the activities; least detectable change at
90 %, 2 points for the mean and 3 for one activity.
"""

from collections.abc import Mapping
from statistics import fmean

from assessments.clinical.change import Better, Change, compare
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

LOW, HIGH = 0, 10
MAX_ACTIVITIES = 5
UNIT = gettext_noop("points")

_STRATFORD = "Stratford et al. 1995 Physiother Can 47:258–63"

MEAN_ERROR = Figure(
    value=2,
    unit=UNIT,
    source=_STRATFORD,
    status=Status.PUBLISHED,
    limits="least detectable change at 90 %, mean of the activities; 2 itself counts",
)
ONE_ACTIVITY_ERROR = Figure(
    value=3,
    unit=UNIT,
    source=_STRATFORD,
    status=Status.PUBLISHED,
    limits="least detectable change at 90 %, one activity",
)


def mean_rating(ratings: tuple[int, ...]) -> float:
    """Return the mean of one to five ratings of 0–10. Raises ValueError for anything else."""
    if not 1 <= len(ratings) <= MAX_ACTIVITIES:
        raise ValueError(f"1 to {MAX_ACTIVITIES} activities are rated, not {len(ratings)}")
    for rating in ratings:
        if isinstance(rating, bool) or not isinstance(rating, int) or not LOW <= rating <= HIGH:
            raise ValueError(f"{rating!r} is not a whole number from {LOW} to {HIGH}")
    return fmean(ratings)


def activities_change(before: Mapping[str, int], after: Mapping[str, int]) -> Change:
    """Return the change of the mean, ratings by activity; equal to the error counts as beyond it.

    Raises ValueError when the activities are not the same, and as `mean_rating`.
    """
    if before.keys() != after.keys():
        raise ValueError("only the same activities can be compared")
    return compare(
        mean_rating(tuple(before.values())),
        mean_rating(tuple(after.values())),
        unit=UNIT,
        better=Better.UP,
        error=MEAN_ERROR,
        at_error_counts=True,
    )
