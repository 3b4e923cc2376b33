"""The first history: how long, how it began, what provokes it, and injections before.

Sources
-------
Coombes et al. (2013) JAMA 309:461–9: outcome after a corticosteroid injection.
Ikonen et al. (2022) Clin Orthop Relat Res 480:647–60, doi 10.1097/CORR.0000000000002058, read
second-hand: how long it has lasted says nothing about how it will go on; Sanders et al. (2015) Am J
Sports Med 43:1066–71 disagree.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from cases.clinical.labels import Labelled
from cases.clinical.reasons import Named, Reason
from cases.clinical.screening_questions import INJECTION_FIGURES as INJECTION_FIGURES
from cases.clinical.screening_questions import RADICULOPATHY_FOUR_OF_FOUR
from cases.clinical.years import years_later
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say


class Provocation(Labelled):
    """What brings the pain on."""

    GRIPPING = "gripping", gettext_noop("gripping")
    LIFTING = "lifting", gettext_noop("lifting with the palm down")
    TURNING = "turning", gettext_noop("turning a handle or key")
    WRINGING = "wringing", gettext_noop("wringing")
    TYPING = "typing", gettext_noop("typing")
    BACKHAND = "backhand", gettext_noop("backhand or throwing")
    TOOLS = "tools", gettext_noop("using tools")
    INSTRUMENT = "instrument", gettext_noop("playing an instrument")
    HANDSHAKE = "handshake", gettext_noop("shaking hands")
    OTHER = "other", gettext_noop("something else")


class Duration(Labelled):
    """Common practice, no source; not a prognosis: sources disagree whether it is one."""

    UNDER_6_WEEKS = "under-6-weeks", gettext_noop("under 6 weeks")
    FROM_6_TO_12_WEEKS = "6-12-weeks", gettext_noop("6–12 weeks")
    OVER_12_WEEKS = "over-12-weeks", gettext_noop("over 12 weeks")


def duration_class(onset: date, *, today: date) -> Duration:
    """Return how long the case has lasted; 6 and 12 whole weeks belong to "6–12 weeks".

    Raises ValueError when the onset is after today.
    """
    lasted = _since(onset, today)
    if lasted < timedelta(weeks=6):
        return Duration.UNDER_6_WEEKS
    if lasted <= timedelta(weeks=12):
        return Duration.FROM_6_TO_12_WEEKS
    return Duration.OVER_12_WEEKS


def _since(day: date, today: date) -> timedelta:
    if day > today:
        raise ValueError(f"{day} is after {today}")
    return today - day


HOLD_ALL_HEAVY = Figure(
    value=2,
    unit=gettext_noop("weeks"),
    source="usual practice: no maximal grip or heavy load for about 1–2 weeks",
    status=Status.FROM_MEMORY,
    limits="the longer end is used",
)
HOLD_HEAVY_STAGES = (
    Figure(value=2, unit=gettext_noop("weeks"), source="common practice", status=Status.CONVENTION),
    Figure(value=6, unit=gettext_noop("weeks"), source="common practice", status=Status.CONVENTION),
)
EXPECT_LESS = Figure(
    value=12,
    unit=gettext_noop("months"),
    source="Coombes et al. 2013 JAMA 309:461–9",
    status=Status.PUBLISHED,
    limits="fewer recovered and more had it again at 1 year than after placebo",
)


WHERE = (
    Reason(
        title=gettext_noop("One fingertip"),
        why=gettext_noop(
            "The familiar pain is at or just below the epicondyle. Elsewhere it raises other questions."
        ),
        figures=(
            Named(
                limits=gettext_noop("most tender 3–5 cm below: think of the radial nerve"),
                source="North and East Devon formulary, tennis elbow (3–4 cm); usual practice (3–5 cm)",
                status=Status.FROM_MEMORY,
            ),
        ),
    ),
)
NIGHT_AND_MORNING = (
    Reason(
        title=gettext_noop("Night and morning"),
        why=gettext_noop(
            "Waking at night counts for how irritable the arm is; a night ache deep in the forearm, "
            "or pain that never eases, belongs to the screening."
        ),
        figures=(
            Figure(
                value=30,
                unit=gettext_noop("minutes"),
                source="usual practice",
                status=Status.FROM_MEMORY,
                limits=gettext_noop("stiff for longer in the morning: ask about inflamed joints"),
            ),
        ),
    ),
)
EARLIER = (
    Reason(
        title=gettext_noop("Earlier episodes"),
        why=gettext_noop("It comes back in some; what helped then is worth knowing."),
        figures=(
            Figure(
                value=8.5,
                unit="%",
                source="Sanders et al. 2015 Am J Sports Med 43:1066–71",
                status=Status.PUBLISHED,
                limits=gettext_noop("had it again within 2 years, one county"),
            ),
        ),
    ),
)
JOINTS = (
    Reason(
        title=gettext_noop("Neck"),
        why=gettext_noop(
            "A nerve root can hurt at the elbow; four tests of the neck are counted together."
        ),
        figures=(RADICULOPATHY_FOUR_OF_FOUR,),
    ),
    Reason(
        title=gettext_noop("Other joints"),
        why=gettext_noop(
            "Several joints, or both elbows from the start, ask for a look at inflammatory disease."
        ),
        figures=(
            Named(
                limits=gettext_noop("pattern of inflamed joints and tendon insertions"),
                source="usual practice",
                status=Status.FROM_MEMORY,
            ),
        ),
    ),
)


@dataclass(frozen=True, kw_only=True)
class InjectionCaution:
    """What a corticosteroid injection of this elbow puts off today; `weeks` are whole weeks since."""

    weeks: int
    hold_maximal_grip: bool
    hold_heavy_stages: bool
    expect_less: bool
    sentences: tuple[Sentence, ...]


def injection_caution(injected: date, *, today: date) -> InjectionCaution:
    """Return what to put off after a corticosteroid injection on `injected`.

    Maximal grip and heavy load wait `HOLD_ALL_HEAVY`; the heavy stages wait until the longer of
    `HOLD_HEAVY_STAGES`. Raises ValueError when the injection is after today.
    """
    since = _since(injected, today)
    hold_grip = since < timedelta(weeks=HOLD_ALL_HEAVY.value)
    hold_heavy = since < timedelta(weeks=HOLD_HEAVY_STAGES[1].value)
    less = today <= years_later(injected, int(EXPECT_LESS.value) // 12)
    texts = (
        (hold_grip, _HOLD_GRIP),
        (hold_heavy, _HOLD_HEAVY),
        (less, _EXPECT_LESS),
    )
    weeks = since.days // 7
    return InjectionCaution(
        weeks=weeks,
        hold_maximal_grip=hold_grip,
        hold_heavy_stages=hold_heavy,
        expect_less=less,
        sentences=tuple(say(text, weeks=weeks) for holds, text in texts if holds),
    )


_HOLD_GRIP = gettext_noop(
    "Whole weeks since the steroid injection: %(weeks)s; put off maximal grip and heavy load for 1–2 weeks "
    "(from memory, not checked)."
)
_HOLD_HEAVY = gettext_noop(
    "Whole weeks since the steroid injection: %(weeks)s; relief may hide overload; hold the heavy stages for "
    "2–6 weeks (common practice, no source)."
)
_EXPECT_LESS = gettext_noop(
    "Steroid injection within a year: in one trial 83 of 100 were recovered or much improved at "
    "1 year, 96 after placebo; 54 and 12 of 100 had it again (Coombes 2013)."
)
