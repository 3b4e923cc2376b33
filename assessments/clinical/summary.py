"""One measure's change in the patient's words: short sentences that claim no more than the figures.

Nothing here says that a person is well, or better off: the numbers and the direction of the scale,
then what such numbers do by themselves, then each published size of change, reached or not. The
wording is our own; the figures come with the `Change`.
"""

from dataclasses import dataclass
from functools import reduce

from assessments.clinical.change import PERCENT, Better, Change, Met
from assessments.clinical.force import NEWTONS_PER, Unit
from assessments.clinical.measures import BY_KEY, FORCES, ONE_ACTIVITY, ReadAs
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say, short


@dataclass(frozen=True, kw_only=True)
class Plain:
    """How a measure is called and counted in front of the patient; shown = value × `factor`."""

    what: str
    scale: str
    unit: str
    factor: float = 1
    places: int = 1

    def shown(self, value: float) -> float:
        """Return a value as it is read: one decimal at most, and none that is zero."""
        return short(round(value * self.factor, self.places))

    def size(self, figure: Figure) -> Sentence:
        """Return a published size; one in percent of the first value stays in percent."""
        if figure.unit == PERCENT:
            return say(_SIZE, value=short(figure.value), unit=PERCENT)
        value = round(figure.value * self.factor, 2) if self.factor != 1 else figure.value
        return say(_SIZE, value=short(value), unit=self.unit)


_POINTS, _DAYS = gettext_noop("points"), gettext_noop("days")
_OUT_OF_10 = gettext_noop("out of 10")
_OUT_OF_50 = gettext_noop("out of 50")
_OUT_OF_100 = gettext_noop("out of 100")
_SHARE = gettext_noop("% of the other arm")


def _rated(what: str, scale: str = _OUT_OF_10) -> Plain:
    return Plain(what=what, scale=scale, unit=_POINTS)


PLAIN = {
    "pain_at_rest": _rated(gettext_noop("Your pain at rest")),
    "pain_worst_24h": _rated(gettext_noop("Your worst pain in a day")),
    "pain_on_gripping": _rated(gettext_noop("Your pain when you grip")),
    "pain_during_exercise": _rated(gettext_noop("Your pain when you exercise")),
    "pain_next_morning": _rated(gettext_noop("Your pain the next morning")),
    "grip_pain_free": Plain(
        what=gettext_noop("Your grip before it hurts"), scale="", unit="", factor=1
    ),
    "grip_maximal": Plain(what=gettext_noop("Your strongest grip"), scale="", unit="", factor=1),
    "grip_ratio": Plain(
        what=gettext_noop("The grip of your sore arm"),
        scale=_SHARE,
        unit=_SHARE,
        factor=100,
        places=0,
    ),
    "prtee": _rated(gettext_noop("Your score on the elbow form"), _OUT_OF_100),
    "prtee_pain": _rated(gettext_noop("Your pain score on the elbow form"), _OUT_OF_50),
    "prtee_function": _rated(gettext_noop("Your task score on the elbow form"), _OUT_OF_50),
    "activities": _rated(gettext_noop("Your score for your own tasks")),
    ONE_ACTIVITY: _rated(gettext_noop("Your score for this task")),
    "time_off_work": Plain(what=gettext_noop("Your time off work"), scale=_DAYS, unit=_DAYS),
}
ITSELF = {key for key, measure in BY_KEY.items() if measure.read_as is ReadAs.ITSELF}
NOT_COMPARED = {key for key, measure in BY_KEY.items() if measure.read_as is ReadAs.PERIOD}
# How the limits of a figure say that it was found in other people.
OTHER_PEOPLE = "not tennis elbow"


def plain(key: str, unit: Unit = Unit.KGF) -> Plain:
    """Return how a measure of the register is told; forces in `unit`, as the dial shows it.

    Raises ValueError for a measure that has no plain words.
    """
    if key not in PLAIN:
        raise ValueError(f"there are no plain words for {key}")
    words = PLAIN[key]
    if key not in FORCES:
        return words
    factor = 1 / NEWTONS_PER[unit]
    return Plain(what=words.what, scale=unit.shown, unit=unit.shown, factor=factor)


def one_value(key: str, value: float, *, unit: Unit = Unit.KGF) -> tuple[Sentence, ...]:
    """Return what a single value says, in the register's unit; forces in newtons.

    Raises ValueError as `plain`.
    """
    if key in ITSELF:
        return (say(_RATED, rating=f"{value:+g}".replace("-", "−").replace("+0", "0")),)
    words = plain(key, unit)
    told = say(_NOW, what=words.what, now=words.shown(value), scale=words.scale)
    return (told,) if key in NOT_COMPARED else (told, say(_NOTHING_BEFORE))


def in_plain_words(key: str, change: Change, *, unit: Unit = Unit.KGF) -> tuple[Sentence, ...]:
    """Return what a change says, as short sentences to be read one after the other.

    A rating that is itself a change, and days that count periods of unequal length, are told as the
    newest value alone.

    The published sizes of an important change are about getting better, so a change for the worse
    is not held against them. Raises ValueError as `plain`.
    """
    if key in ITSELF | NOT_COMPARED:
        return one_value(key, change.after, unit=unit)
    words = plain(key, unit)
    before, after = words.shown(change.before), words.shown(change.after)
    if before == after:
        same = _SAME if change.amount == 0 else _ABOUT_THE_SAME
        return (say(same, what=words.what, now=after, scale=words.scale),)
    moved = say(_MOVED, what=words.what, before=before, now=after, scale=words.scale)
    parts = [moved, say(_DIRECTION[change.better])]
    if change.over is not None:
        parts.append(say(_SAME_TASKS))
    parts.extend(_by_chance(words, change))
    sizes = [row for row in change.important if row.met is not None]
    if change.improvement > 0 and sizes:
        parts.extend(_sizes(words, sizes))
        if any(OTHER_PEOPLE in row.figure.limits for row in sizes):
            parts.append(say(_OTHER_PEOPLE))
    return (*parts, *_unchecked(change))


def _by_chance(words: Plain, change: Change) -> tuple[Sentence, ...]:
    if change.error is None:
        return (say(_CHANCE_NOT_KNOWN),)
    usual = say(_CHANCE, size=words.size(change.error))
    if not change.beyond_error:
        return usual, say(_MAY_BE_CHANCE)
    equal = abs(change.amount) == change.error.value
    return usual, say(_AS_BIG if equal else _BIGGER)


def _sizes(words: Plain, rows: list[Met]) -> tuple[Sentence, ...]:
    reached = [words.size(row.figure) for row in rows if row.met]
    missed = [words.size(row.figure) for row in rows if not row.met]
    if len(rows) == 1:
        named = say(_ONE_SIZE, sizes=_listed(reached or missed))
        return named, say(_REACHES_IT if reached else _MISSES_IT)
    named = say(_SEVERAL_SIZES, count=len(rows))
    if not reached:
        return named, say(_REACHES_NONE, missed=_listed(missed))
    if not missed:
        return named, say(_REACHES_ALL, reached=_listed(reached))
    return named, say(_REACHES_SOME, reached=_listed(reached), missed=_listed(missed))


def _unchecked(change: Change) -> tuple[Sentence, ...]:
    """What is only from memory is told as such."""
    told = [row.figure for row in change.important if row.met is not None]
    figures = [*(told if change.improvement > 0 else []), *([change.error] if change.error else [])]
    count = sum(figure.status is Status.FROM_MEMORY for figure in figures)
    if not count:
        return ()
    return (say(_ONE_UNCHECKED) if count == 1 else say(_UNCHECKED, count=count),)


def _listed(sizes: list[Sentence]) -> Sentence:
    return reduce(lambda listed, size: say(_LIST, listed=listed, size=size), sizes)


_SIZE = gettext_noop("%(value)s %(unit)s")
_LIST = gettext_noop("%(listed)s, %(size)s")
_NOW = gettext_noop("%(what)s: %(now)s %(scale)s.")
_NOTHING_BEFORE = gettext_noop("There is nothing to compare it with yet.")
_RATED = gettext_noop(
    "You rate your elbow %(rating)s next to the start, on a scale from −5 (worse) to +5 (better)."
)
_SAME = gettext_noop("%(what)s is the same as before: %(now)s %(scale)s.")
_ABOUT_THE_SAME = gettext_noop("%(what)s is about the same as before: %(now)s %(scale)s.")
_MOVED = gettext_noop("%(what)s went from %(before)s to %(now)s %(scale)s.")
_DIRECTION = {
    Better.DOWN: gettext_noop("Lower is better."),
    Better.UP: gettext_noop("Higher is better."),
}
_SAME_TASKS = gettext_noop("Only the tasks that you scored both times count here.")
_CHANCE = gettext_noop(
    "When nothing has changed, such numbers still differ, mostly by less than %(size)s."
)
_BIGGER = gettext_noop("This change is bigger than that.")
_AS_BIG = gettext_noop("This change is just as big as that.")
_MAY_BE_CHANCE = gettext_noop("This change is no bigger than that, so it may be chance.")
_CHANCE_NOT_KNOWN = gettext_noop(
    "No study that fits tells how much such numbers differ when nothing has changed."
)
_ONE_SIZE = gettext_noop(
    "One study names a size of change that mattered to the people in it: %(sizes)s."
)
_REACHES_IT = gettext_noop("This change reaches it.")
_MISSES_IT = gettext_noop("This change does not reach it.")
_SEVERAL_SIZES = gettext_noop(
    "Studies name %(count)s sizes of change that mattered to the people in them."
)
_REACHES_ALL = gettext_noop("This change reaches all of them: %(reached)s.")
_REACHES_SOME = gettext_noop("This change reaches %(reached)s, but not %(missed)s.")
_REACHES_NONE = gettext_noop("This change reaches none of them: %(missed)s.")
_OTHER_PEOPLE = gettext_noop("Not all of these people had a tennis elbow.")
_ONE_UNCHECKED = gettext_noop("One of these sizes was not checked in the study itself.")
_UNCHECKED = gettext_noop("%(count)s of these sizes were not checked in the studies themselves.")
