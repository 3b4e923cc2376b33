"""Pain from 0 (none) to 10 (the worst imaginable): whole numbers, always with a context.

Sources
-------
Farrar et al. (2001) Pain 94:149–58, doi 10.1016/s0304-3959(01)00349-9: −2 points or −30 %.
Physiother Theory Pract (2025), doi 10.1080/09593985.2025.2450090: tennis elbow, n = 143.
"""

from assessments.clinical.change import ImportantChange, MeasurementError
from cases.clinical.labels import Labelled
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

LOW, HIGH = 0, 10
UNIT = gettext_noop("points")


class Context(Labelled):
    """When the pain was felt; two ratings compare only within one context."""

    AT_REST = "at_rest", gettext_noop("at rest")
    WORST_24H = "worst_24h", gettext_noop("worst in 24 h")
    ON_GRIPPING = "on_gripping", gettext_noop("on gripping")
    DURING_EXERCISE = "during_exercise", gettext_noop("during exercise")
    NEXT_MORNING = "next_morning", gettext_noop("next morning")


_FARRAR = "Farrar et al. 2001 Pain 94:149–58, doi 10.1016/s0304-3959(01)00349-9"
_ELBOW_2025 = "Physiother Theory Pract 2025, doi 10.1080/09593985.2025.2450090"

PAIN_ERROR = Figure(
    value=1.4,
    unit=UNIT,
    source=_ELBOW_2025,
    status=Status.PUBLISHED,
    limits="least detectable change at 90 %, n = 143, 3 months; agreement 0.54 (0.17–0.78)",
)
ERRORS = (
    MeasurementError(
        name=gettext_noop("one rating"),
        figure=PAIN_ERROR,
        population=gettext_noop("tennis elbow, n = 143"),
        method=gettext_noop("least detectable change at 90 %; agreement 0.54 (0.17–0.78)"),
        horizon=gettext_noop("3 months"),
    ),
)

POINTS_RULE = ImportantChange(
    name=gettext_noop("points rule, chronic pain"),
    figure=Figure(
        value=2,
        unit=UNIT,
        source=_FARRAR,
        status=Status.PUBLISHED,
        limits="not tennis elbow; higher first ratings need a larger change in points",
    ),
    population=gettext_noop("10 drug trials in chronic pain, n = 2724"),
    method=gettext_noop("anchor"),
    horizon=gettext_noop("end of trial"),
)
PERCENT_RULE = ImportantChange(
    name=gettext_noop("percent rule, chronic pain"),
    figure=Figure(
        value=30,
        unit="%",
        source=_FARRAR,
        status=Status.PUBLISHED,
        limits="not tennis elbow; stable across first ratings",
    ),
    population=gettext_noop("10 drug trials in chronic pain, n = 2724"),
    method=gettext_noop("anchor"),
    horizon=gettext_noop("end of trial"),
)
TENNIS_ELBOW_RULE = ImportantChange(
    name=gettext_noop("tennis elbow, 3 months"),
    figure=Figure(
        value=2.3,
        unit=UNIT,
        source=_ELBOW_2025,
        status=Status.PUBLISHED,
        limits="in whole points it takes 3",
    ),
    population=gettext_noop("tennis elbow, n = 143"),
    method=gettext_noop("area under the curve 0.94"),
    horizon=gettext_noop("3 months"),
)
PAIN_IMPORTANT = (POINTS_RULE, PERCENT_RULE, TENNIS_ELBOW_RULE)
