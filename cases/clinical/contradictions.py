"""Answers that cannot both be right: asked about, never corrected and never dropped.

Each row of `CONTRADICTIONS` is a test on what was told and the question that it raises. Common practice, no
source; the words of the screening questions decide what a yes there covers.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from clinic.wording import Sentence, gettext_noop, say

NO, YES = "no", "yes"
# The screening question on inflammatory joint disease asks for more than this; from memory, not checked.
STIFF_MINUTES = 30


@dataclass(frozen=True, kw_only=True)
class Told:
    """The answers that are compared; None and "" are "not asked". `screened` maps question to answer."""

    manner: str = ""
    night_pain: bool | None = None
    nights_woken: int | None = None
    rest_pain: int | None = None
    worst_pain: int | None = None
    stiff_minutes: int | None = None
    neck_pain: bool | None = None
    racket_sport: bool | None = None
    racket_answered: bool = False
    fluoroquinolone: str = ""
    steroid_injected: bool = False
    screened: Mapping[str, str] = field(default_factory=dict)


def _screened(code: str, answer: str) -> Callable[[Told], bool]:
    return lambda told: told.screened.get(code) == answer


def _worst_below_rest(told: Told) -> bool:
    rest, worst = told.rest_pain, told.worst_pain
    return rest is not None and worst is not None and worst < rest


_took_before = _screened("fluoroquinolone-recent", YES)
_takes_now = _screened("fluoroquinolone-now", YES)
_no_injection = _screened("steroid-injection", NO)

CONTRADICTIONS: tuple[tuple[Callable[[Told], bool], str], ...] = (
    (
        lambda t: t.night_pain is False and bool(t.nights_woken),
        gettext_noop(
            "No pain at night, but woken on %(nights_woken)s nights a week: what wakes the patient?"
        ),
    ),
    (
        _worst_below_rest,
        gettext_noop(
            "The worst pain in 24 h (%(worst_pain)s) is below the pain at "
            "rest (%(rest_pain)s): which is right?"
        ),
    ),
    (
        lambda t: t.racket_sport is False and t.racket_answered,
        gettext_noop(
            "No racket sport, but answers about it are written down: do they belong here?"
        ),
    ),
    (
        lambda t: t.fluoroquinolone == NO and _takes_now(t),
        gettext_noop(
            "Fluoroquinolone: the intake says no, the screening says it is "
            "taken now. Ask to see the medicines."
        ),
    ),
    (
        lambda t: t.fluoroquinolone == NO and not _takes_now(t) and _took_before(t),
        gettext_noop(
            "Fluoroquinolone: the intake says no, the screening says in recent "
            "months. Ask to see the medicines."
        ),
    ),
    (
        lambda t: t.fluoroquinolone == "now" and t.screened.get("fluoroquinolone-now") == NO,
        gettext_noop(
            "Fluoroquinolone: the intake says it is taken now, the screening "
            "says no. Ask to see the medicines."
        ),
    ),
    (
        lambda t: t.fluoroquinolone == "past" and t.screened.get("fluoroquinolone-recent") == NO,
        gettext_noop(
            "Fluoroquinolone: the intake says in the last months, the "
            "screening says no. When was the last one?"
        ),
    ),
    (
        lambda t: t.manner == "blow" and t.screened.get("fracture") == NO,
        gettext_noop(
            "It came after a blow or a fall, but the screening says it did not: "
            "was the elbow examined for a fracture?"
        ),
    ),
    (
        lambda t: (t.stiff_minutes or 0) > STIFF_MINUTES and t.screened.get("inflammatory") == NO,
        gettext_noop(
            "Stiff for %(stiff_minutes)s minutes in the morning, but the "
            "screening says no to over 30 minutes."
        ),
    ),
    (
        lambda t: t.neck_pain is True and t.screened.get("neck-nerve-root") == NO,
        gettext_noop("Neck pain is told in the intake, but the screening says no to it."),
    ),
    (
        lambda t: t.steroid_injected and _no_injection(t),
        gettext_noop("A steroid injection is on record, but the screening says there was none."),
    ),
)


def contradictions(told: Told) -> tuple[Sentence, ...]:
    """Return a question for every pair of answers that cannot both be right, in the order of the table."""
    return tuple(
        say(text, **{name: value for name, value in vars(told).items() if isinstance(value, int)})
        for holds, text in CONTRADICTIONS
        if holds(told)
    )
