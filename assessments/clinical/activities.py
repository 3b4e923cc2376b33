"""The patient's own activities: 3 to 5 named at the first visit, each 0 (unable) to 10 (as before).

Higher is better, the opposite of pain. The same activities are read back at each later visit, and only the
same activities may be compared.

Sources
-------
Stratford et al. (1995) Physiother Can 47:258–63: mean of the activities; least detectable change at
90 %, 2 points for the mean and 3 for one activity.
Hefford et al. (2012) J Orthop Sports Phys Ther 42:56–65: upper limb, n = 180, agreement 0.713.
"""

from collections.abc import Hashable, Mapping
from dataclasses import replace
from statistics import fmean
from typing import TypeVar

from assessments.clinical.change import (
    Better,
    Change,
    ImportantChange,
    MeasurementError,
    compare,
)
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop, say

LOW, HIGH = 0, 10
MAX_ACTIVITIES = 5
UNIT = gettext_noop("points")

Key = TypeVar("Key", bound=Hashable)

_STRATFORD = "Stratford et al. 1995 Physiother Can 47:258–63"
_NOT_READ = gettext_noop("people not known")
_TIME_NOT_READ = gettext_noop("time not known")

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
    limits="least detectable change at 90 %, one activity; 3 itself counts",
)
# Shown beside it, never used to judge.
UPPER_LIMB_ERROR = Figure(
    value=1.73,
    unit=UNIT,
    source="Arabic version, upper limb, n = 139",
    status=Status.PUBLISHED,
    limits="its printed standard error of 0.74 makes this the change at 90 %; at 95 % it is 2.05",
)

ERRORS = (
    MeasurementError(
        name=gettext_noop("mean of the activities"),
        figure=MEAN_ERROR,
        population=_NOT_READ,
        method=gettext_noop("least detectable change at 90 %"),
        horizon=_TIME_NOT_READ,
    ),
    MeasurementError(
        name=gettext_noop("one activity"),
        figure=ONE_ACTIVITY_ERROR,
        population=_NOT_READ,
        method=gettext_noop("least detectable change at 90 %"),
        horizon=_TIME_NOT_READ,
    ),
    MeasurementError(
        name=gettext_noop("Arabic version: not used to judge"),
        figure=UPPER_LIMB_ERROR,
        population=gettext_noop("upper limb, Arabic version, n = 139"),
        method=gettext_noop("least detectable change at 90 %; standard error 0.74, agreement 0.82"),
        horizon=_TIME_NOT_READ,
    ),
)
IMPORTANT = (
    ImportantChange(
        name=gettext_noop("upper limb"),
        figure=Figure(
            value=1.2,
            unit=UNIT,
            source="Hefford et al. 2012 J Orthop Sports Phys Ther 42:56–65",
            status=Status.FROM_MEMORY,
            limits="not tennis elbow alone; smaller than the measurement error",
        ),
        population=gettext_noop("upper limb, n = 180"),
        method=gettext_noop("area under the curve 0.887"),
        horizon=_TIME_NOT_READ,
    ),
)


def mean_rating(ratings: tuple[int, ...]) -> float:
    """Return the mean of one to five ratings of 0–10. Raises ValueError for anything else."""
    if not 1 <= len(ratings) <= MAX_ACTIVITIES:
        raise ValueError(f"1 to {MAX_ACTIVITIES} activities are rated, not {len(ratings)}")
    for rating in ratings:
        if isinstance(rating, bool) or not isinstance(rating, int) or not LOW <= rating <= HIGH:
            raise ValueError(f"{rating!r} is not a whole number from {LOW} to {HIGH}")
    return fmean(ratings)


def activities_change(before: Mapping[Key, int], after: Mapping[Key, int]) -> Change:
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
        important=IMPORTANT,
    )


def change_of_the_same(before: Mapping[Key, int], after: Mapping[Key, int]) -> Change | None:
    """Return the change over the activities that were rated on both dates; None when there is none.

    `over` names how many those are when some were rated on one date alone. One activity is judged by the
    error of one. Raises ValueError as `mean_rating`.
    """
    same = [activity for activity in before if activity in after]
    if not same:
        return None
    if len(same) == 1:
        change = one_activity_change(before[same[0]], after[same[0]])
    else:
        change = activities_change(
            {activity: before[activity] for activity in same},
            {activity: after[activity] for activity in same},
        )
    if len(same) == len(before.keys() | after.keys()):
        return change
    text = gettext_noop("over the %(count)s rated on both dates: %(before)s, then %(after)s")
    means = {"before": f"{change.before:.1f}", "after": f"{change.after:.1f}"}
    return replace(change, over=say(text, count=len(same), **means))


def one_activity_change(before: int, after: int) -> Change:
    """Return the change of one activity, 0–10; equal to the error counts. Raises as `mean_rating`."""
    return compare(
        mean_rating((before,)),
        mean_rating((after,)),
        unit=UNIT,
        better=Better.UP,
        error=ONE_ACTIVITY_ERROR,
        at_error_counts=True,
    )
