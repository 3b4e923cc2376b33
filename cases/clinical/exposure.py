"""What the arm has to do: racket, work, instrument, craft, and what is known about each.

An association in a group says nothing about the cause in one person, and no figure here is a risk score.

Sources
-------
Racket: a study of 150 amateur players (1986), pubmed.ncbi.nlm.nih.gov/3767495; Gruchow & Pelletier (1979),
pubmed 474862; Hatch et al. (2006) Am J Sports Med 34:1977–83; Mohandhas et al. (2016) Shoulder Elbow
8:184–91; Hennig (2007) Exerc Sport Sci Rev 35:62–6, which also quotes Priest's survey.
Work: Shiri et al. (2006); Herquelot et al. (2013) Scand J Work Environ Health 39:578–88; the review
pmc.ncbi.nlm.nih.gov/articles/PMC3781883; sjweh.fi/article/654.
"""

from collections.abc import Callable
from dataclasses import dataclass

from cases.clinical.reasons import Named, Reason
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

# Standard gravity and the international pound, both exact by definition.
NEWTON_PER = {"N": 1.0, "kgf": 9.80665, "lbf": 0.45359237 * 9.80665}

_AMATEURS = "150 amateur players, 1986, pubmed.ncbi.nlm.nih.gov/3767495"
_GRUCHOW = "Gruchow & Pelletier 1979, pubmed 474862"
_MOHANDHAS = "Mohandhas et al. 2016 Shoulder Elbow 8:184–91, n = 20"
_HENNIG = "Hennig 2007 Exerc Sport Sci Rev 35:62–6"
_SHIRI = "Shiri et al. 2006, n = 4783, Finland"
_HERQUELOT = "Herquelot et al. 2013 Scand J Work Environ Health 39:578–88"
_REVIEW = "review, pmc.ncbi.nlm.nih.gov/articles/PMC3781883"


def _published(value: float, unit: str, source: str, limits: str = "") -> Figure:
    return Figure(value=value, unit=unit, source=source, status=Status.PUBLISHED, limits=limits)


HOURS_WITHOUT_PAIN = _published(
    5.5, gettext_noop("h a week"), _AMATEURS, gettext_noop("mean of players without pain")
)
HOURS_BEFORE_PAIN = _published(
    8, gettext_noop("h a week"), _AMATEURS, gettext_noop("mean of sufferers before it began")
)
HOURS_A_DAY = Figure(
    value=2,
    unit=gettext_noop("h a day"),
    source="Gruchow & Pelletier 1979",
    status=Status.FROM_MEMORY,
    limits=gettext_noop("more than this: about 2–3.5 times the incidence"),
)
PLAYERS_EVER = Figure(
    value=31,
    unit="%",
    source=f"Priest, n = 2633, quoted by {_HENNIG}",
    status=Status.SECOND_HAND,
    limits=gettext_noop(
        "of players ever had elbow pain; more with age, years, frequency, weight, and less skill"
    ),
)
GRIP_SIZE_NO_CHANGE = _published(
    0.25,
    gettext_noop("inch"),
    "Hatch et al. 2006 Am J Sports Med 34:1977–83, n = 16",
    gettext_noop("more or less than recommended: no change in the work of five forearm muscles"),
)
GRIP_SIZE_MORE_PAIN = Named(
    limits=gettext_noop(
        "a larger grip went with more new cases in older players; over 500 players"
    ),
    source=_GRUCHOW,
    status=Status.PUBLISHED,
)
STRING_TENSION = tuple(
    _published(acceleration, "m/s²", _MOHANDHAS, limits)
    for acceleration, limits in (
        (5.58, gettext_noop("peak acceleration at the elbow at 200 N; not injury")),
        (6.83, gettext_noop("at 222 N; a simulated backhand, recreational players")),
        (7.45, gettext_noop("at 245 N")),
    )
)
STRING_STEPS = Named(
    limits=gettext_noop("5.58, 6.83 and 7.45 m/s² at the elbow at 200, 222 and 245 N; not injury"),
    source=_MOHANDHAS,
    status=Status.PUBLISHED,
)
HEAD_AREA = (
    _published(613, "cm²", _AMATEURS, gettext_noop("racket head of sufferers: an association")),
    _published(570, "cm²", _AMATEURS, gettext_noop("racket head of players without pain")),
)
FORCE_AND_REPETITION = _published(
    5.6,
    gettext_noop("times the odds"),
    _SHIRI,
    gettext_noop("repetitive and forceful work together; 95 % interval 1.9–16.5"),
)
BENT_WRIST = (
    _published(
        3.2,
        gettext_noop("times the rate, men"),
        _HERQUELOT,
        gettext_noop(
            "high exertion with elbow movement or extreme wrist bending over 2 h a day; 1.5–6.4"
        ),
    ),
    _published(3.3, gettext_noop("times the rate, women"), _HERQUELOT, "1.4–7.6"),
)
BENT_WRIST_BOTH = Named(
    limits=gettext_noop(
        "3.2 times the rate in men, 3.3 in women: high exertion with over 2 h a day of this"
    ),
    source=_HERQUELOT,
    status=Status.PUBLISHED,
)
BENT_WRIST_HOURS = _published(2, gettext_noop("h a day"), _HERQUELOT)
TOOLS_KG = _published(
    1, "kg", _REVIEW, gettext_noop("tools heavier than this are named as a risk exposure")
)
HANDLING_KG = _published(
    20, "kg", _REVIEW, gettext_noop("handling more than this is named as a risk exposure")
)
SCREEN_HOURS = _published(
    20, gettext_noop("h a week"), _REVIEW, gettext_noop("more than this at a computer is named")
)
TWISTING = Named(
    limits=gettext_noop("repeated twisting is named, without a number"),
    source=_REVIEW,
    status=Status.PUBLISHED,
)
MANUAL_WORK = Named(
    limits=gettext_noop("manual work: more pain and poorer function at 4 weeks and at 6 months"),
    source="sjweh.fi/article/654, n = 164",
    status=Status.PUBLISHED,
)
RISE = Named(
    limits=gettext_noop("no published step of load before the pain began was found"),
    source=gettext_noop("usual question"),
    status=Status.CONVENTION,
)


RACKET = (
    Reason(
        title=gettext_noop("Hours and years of play"),
        why=gettext_noop(
            "Hours a week told players with and without pain apart best in one study."
        ),
        figures=(HOURS_WITHOUT_PAIN, HOURS_BEFORE_PAIN, HOURS_A_DAY, PLAYERS_EVER, RISE),
    ),
    Reason(
        title=gettext_noop("Grip size"),
        why=gettext_noop("Recorded as it is; no size can be recommended from these two."),
        figures=(GRIP_SIZE_NO_CHANGE, GRIP_SIZE_MORE_PAIN),
        disagree=gettext_noop(
            "They disagree: muscle work did not change with size, yet more older players with a "
            "larger grip became cases."
        ),
    ),
    Reason(
        title=gettext_noop("String tension"),
        why=gettext_noop(
            "Tighter strings passed on more acceleration; whether they injure is open."
        ),
        figures=STRING_TENSION,
    ),
    Reason(
        title=gettext_noop("Change of racket"),
        why=gettext_noop(
            "In a 1979 self-report a change of technique or racket prevented it from coming back, "
            "and a forearm brace helped least (Gruchow & Pelletier). Stiffness, point of impact and "
            "grip force change the shock that reaches the arm (Hennig 2007). For the weight of the "
            "racket no usable figure was found; no benefit of a dampener is known (from memory)."
        ),
        figures=HEAD_AREA,
    ),
)
WORK = (
    Reason(
        title=gettext_noop("Force, repetition, bent wrist"),
        why=gettext_noop("Each alone says less than both together."),
        figures=(FORCE_AND_REPETITION, *BENT_WRIST),
    ),
    Reason(
        title=gettext_noop("Tools, weights, twisting, screen"),
        why=gettext_noop("Named as risk exposures; how much each adds is not given."),
        figures=(TOOLS_KG, HANDLING_KG, TWISTING, SCREEN_HOURS),
    ),
    Reason(
        title=gettext_noop("What it means for the course"),
        why=gettext_noop("Worse with heavier strain of the arm."),
        figures=(MANUAL_WORK,),
    ),
)
HANDS = (
    Reason(
        title=gettext_noop("Music, crafts, gardening"),
        why=gettext_noop(
            "No figure of their own was found. Counted as load like work, and asked because the "
            "program has to leave room for them."
        ),
    ),
)


@dataclass(frozen=True, kw_only=True)
class LoadHistory:
    """What the arm has to do, as told; None is "not asked". Hours a week but for the bent wrist (a day)."""

    racket_hours: float | None = None
    racket_hours_before: float | None = None
    string_tension_n: float | None = None
    work_force: bool | None = None
    work_repetition: bool | None = None
    work_twisting: bool | None = None
    work_bent_hours: float | None = None
    work_tools: bool | None = None
    work_heavy: bool | None = None
    screen_hours: float | None = None


def tension_n(tension: float, unit: str) -> float:
    """Return a string tension in newton from `unit` "N", "kgf" or "lbf".

    Raises ValueError for another unit, and for a tension that is not above 0.
    """
    if unit not in NEWTON_PER:
        raise ValueError(f"{unit!r} is not a unit of string tension")
    if not tension > 0:
        raise ValueError(f"a string tension of {tension} is not above 0")
    return tension * NEWTON_PER[unit]


def rise_of_hours(before: float, now: float) -> float:
    """Return by how many hours a week the play went up; below 0 when it went down.

    Raises ValueError when a week would have fewer than 0 or more than 168 hours.
    """
    for hours in (before, now):
        if not 0 <= hours <= 168:
            raise ValueError(f"{hours} hours do not fit into a week")
    return now - before


@dataclass(frozen=True, kw_only=True)
class Touched:
    """One answer that reaches what a source names, in words, with what is known."""

    sentence: Sentence
    known: Figure | Named


def _over(hours: float | None, figure: Figure) -> bool:
    return hours is not None and hours > figure.value


def _rose(told: LoadHistory) -> bool:
    before, now = told.racket_hours_before, told.racket_hours
    return before is not None and now is not None and rise_of_hours(before, now) > 0


_Rule = tuple[Callable[[LoadHistory], bool | None], str, Figure | Named]

_RULES: tuple[_Rule, ...] = (
    (
        _rose,
        gettext_noop(
            "Play went up from %(racket_hours_before)g to %(racket_hours)g h a week in 8 weeks."
        ),
        RISE,
    ),
    (
        lambda t: t.racket_hours is not None and t.racket_hours >= HOURS_BEFORE_PAIN.value,
        gettext_noop("Plays %(racket_hours)g h a week, as much as sufferers before it began."),
        HOURS_BEFORE_PAIN,
    ),
    (
        lambda t: t.string_tension_n is not None,
        gettext_noop(
            "Strings at %(string_tension_n).0f N; tighter ones passed on more acceleration."
        ),
        STRING_STEPS,
    ),
    (
        lambda t: t.work_force and t.work_repetition,
        gettext_noop("Work is forceful and repetitive."),
        FORCE_AND_REPETITION,
    ),
    (
        lambda t: t.work_force and _over(t.work_bent_hours, BENT_WRIST_HOURS),
        gettext_noop("Wrist bent %(work_bent_hours)g h a day in forceful work."),
        BENT_WRIST_BOTH,
    ),
    (lambda t: t.work_tools, gettext_noop("Uses tools over 1 kg."), TOOLS_KG),
    (lambda t: t.work_heavy, gettext_noop("Handles more than 20 kg."), HANDLING_KG),
    (lambda t: t.work_twisting, gettext_noop("Twists the forearm again and again."), TWISTING),
    (
        lambda t: _over(t.screen_hours, SCREEN_HOURS),
        gettext_noop("At a screen %(screen_hours)g h a week."),
        SCREEN_HOURS,
    ),
)


def touched(told: LoadHistory) -> tuple[Touched, ...]:
    """Return which answers reach what a source names, in the order of the form.

    A limit that reads "over" is not reached by its own value. Raises ValueError for impossible hours.
    """
    given = {name: value for name, value in vars(told).items() if value is not None}
    return tuple(
        Touched(sentence=say(text, **given), known=known)
        for holds, text, known in _RULES
        if holds(told)
    )
