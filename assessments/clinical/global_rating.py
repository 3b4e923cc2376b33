"""How the patient compares today with the start of care: −5 (very much worse) to +5 (recovered).

The rating is itself the change; the difference between two ratings is not read. It mirrors the state of
today more than the change, and did not pass the final vote of the core outcome set (Bateman et al. 2022
Br J Sports Med 56(12):657–66).

Sources
-------
Kamper et al. (2009) J Man Manip Ther 17:163–70: least detectable change and important change, from memory.
Bobos et al. (2020) J Orthop 21:40–8: 11-point rating of perceived effect, low back pain.
"""

from assessments.clinical.change import (
    Better,
    Change,
    ImportantChange,
    MeasurementError,
    compare,
)
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

LOW, HIGH = -5, 5
UNIT = gettext_noop("points")

_KAMPER = "Kamper et al. 2009 J Man Manip Ther 17:163–70"

ERROR = Figure(
    value=0.45,
    unit=UNIT,
    source=_KAMPER,
    status=Status.FROM_MEMORY,
    limits="11-point scale −5 to +5; the rating mirrors the state of today more than the change",
)
ERRORS = (
    MeasurementError(
        name=gettext_noop("one rating"),
        figure=ERROR,
        population=gettext_noop("several conditions"),
        method=gettext_noop("least detectable change, 11 points"),
        horizon=gettext_noop("several lengths of time"),
    ),
)
IMPORTANT = (
    ImportantChange(
        name=gettext_noop("global rating, 11 points"),
        figure=Figure(
            value=2, unit=UNIT, source=_KAMPER, status=Status.FROM_MEMORY, limits="not tennis elbow"
        ),
        population=gettext_noop("several conditions"),
        method=gettext_noop("review"),
        horizon=gettext_noop("several lengths of time"),
    ),
    ImportantChange(
        name=gettext_noop("perceived effect, low back pain"),
        figure=Figure(
            value=2.5,
            unit=UNIT,
            source="Portuguese version, in Bobos et al. 2020 J Orthop 21:40–8",
            status=Status.SECOND_HAND,
            limits="not tennis elbow; in whole points it takes 3",
        ),
        population=gettext_noop("low back pain, Portuguese version"),
        method=gettext_noop("11-point rating of perceived effect"),
        horizon=gettext_noop("time not known"),
    ),
)


def rated_change(rating: int) -> Change:
    """Return what one rating (−5 to 5) says: the change from 0, the start of care.

    Raises ValueError unless it is a whole number in range.
    """
    if isinstance(rating, bool) or not isinstance(rating, int) or not LOW <= rating <= HIGH:
        raise ValueError(f"{rating!r} is not a whole number from {LOW} to {HIGH}")
    return compare(0, rating, unit=UNIT, better=Better.UP, error=ERROR, important=IMPORTANT)
