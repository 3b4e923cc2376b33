"""Time off work for this elbow, in whole days: how long a stretch of time is asked about.

Source
------
Bateman et al. (2022) Br J Sports Med 56(12):657–66 name time off work for the core outcome set, as an
interim measure; it does not fix how many days back are asked about.
"""

from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

FIRST_WINDOW = Figure(
    value=28,
    unit=gettext_noop("days"),
    source="no published period was found",
    status=Status.CLINIC_SETTING,
    limits="at the first visit; later the days since the visit before",
)
