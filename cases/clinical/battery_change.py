"""Two rounds of the battery side by side: what still hurts, and by how much less."""

from collections.abc import Callable
from dataclasses import dataclass

from cases.clinical.battery_optional import BY_CODE
from cases.clinical.findings import GivenFinding
from cases.clinical.labels import Labelled
from cases.clinical.sides import Side
from clinic.wording import Sentence, gettext_noop, say


class Trend(Labelled):
    """One spot of the affected side against the round before."""

    SETTLED = "settled", gettext_noop("hurt before, quiet now")
    LESS = "less", gettext_noop("still hurts, less")
    SAME = "same", gettext_noop("still hurts, the same")
    MORE = "more", gettext_noop("still hurts, more")
    NEW = "new", gettext_noop("new")


_SPOTS = {
    2: gettext_noop("%(test)s, index finger"),
    3: gettext_noop("%(test)s, middle finger"),
    4: gettext_noop("%(test)s, ring finger"),
    5: gettext_noop("%(test)s, little finger"),
    None: gettext_noop("%(test)s"),
}


def spot_name(test: str, finger: int | None) -> Sentence:
    """Return the name of a maneuver by its code, and of the finger where it has one.

    Raises KeyError for a code that is none.
    """
    return say(_SPOTS[finger], test=BY_CODE[test].name)


@dataclass(frozen=True, kw_only=True)
class SpotChange:
    """Familiar pain of one test (and finger) then and now, 0–10; `less_by` is before − after."""

    test: str
    finger: int | None
    before: int
    after: int
    trend: Trend

    @property
    def spot_name(self) -> Sentence:
        """The maneuver that was repeated, and the finger."""
        return spot_name(self.test, self.finger)

    @property
    def more_by(self) -> int:
        """Points more than in the round before; negative when it hurts less."""
        return -self.less_by

    @property
    def less_by(self) -> int:
        """Points less than in the round before; negative when it hurts more."""
        return self.before - self.after


def compare_spots(
    now: tuple[GivenFinding, ...], before: tuple[GivenFinding, ...], affected: Side
) -> tuple[SpotChange, ...]:
    """Return the affected side's spots that were tested in both rounds and hurt in one of them."""
    then = {f.spot: _familiar_pain(f) for f in before if f.side is affected and f.was_done}
    pairs = [(f, then[f.spot], _familiar_pain(f)) for f in now if f.spot in then and f.was_done]
    return tuple(
        SpotChange(
            test=finding.test,
            finger=finding.finger,
            before=was,
            after=is_now,
            trend=_trend(was, is_now),
        )
        for finding, was, is_now in pairs
        if was or is_now
    )


def _familiar_pain(finding: GivenFinding) -> int:
    return (finding.pain or 0) if finding.is_familiar else 0


def _trend(before: int, after: int) -> Trend:
    if not after:
        return Trend.SETTLED
    if not before:
        return Trend.NEW
    if before == after:
        return Trend.SAME
    return Trend.LESS if after < before else Trend.MORE


_TRENDS = {
    Trend.SETTLED: gettext_noop("Quiet now: %(count)s of the spots that hurt before."),
    Trend.LESS: gettext_noop("Still hurting, but less: %(count)s, %(points)s."),
    Trend.SAME: gettext_noop("Still hurting as before: %(count)s."),
    Trend.MORE: gettext_noop("Hurting more: %(count)s, %(points)s."),
    Trend.NEW: gettext_noop("Hurting for the first time: %(count)s."),
}


def in_words(changes: tuple[SpotChange, ...]) -> tuple[Sentence, ...]:
    """Return one sentence for each trend that occurs, with how many points less or more."""
    if not changes:
        return (say(gettext_noop("No spot with familiar pain was tested in both rounds.")),)
    lines = []
    for trend, text in _TRENDS.items():
        sizes = [abs(change.less_by) for change in changes if change.trend is trend]
        if sizes:
            lines.append(say(text, count=len(sizes), points=points(min(sizes), max(sizes))))
    return tuple(lines)


def points(least: int, most: int) -> Sentence:
    """Return "by 1 point", "by 3 points" or "by 2–4 points"."""
    if least < most:
        return say(gettext_noop("by %(least)s–%(most)s points"), least=least, most=most)
    if most == 1:
        return say(gettext_noop("by 1 point"))
    return say(gettext_noop("by %(most)s points"), most=most)


def otherwise_done(
    now: tuple[GivenFinding, ...], before: tuple[GivenFinding, ...], affected: Side
) -> tuple[Sentence, ...]:
    """Return a sentence for each test that was done in another position than in the round before."""
    then = {f.spot: f.variant for f in before if f.side is affected and f.was_done}
    moved = {
        f.test: f.provocation.name
        for f in now
        if f.was_done and f.spot in then and f.variant != then[f.spot]
    }
    text = gettext_noop(
        "%(test)s was done another way than last time; its change may come of that."
    )
    return tuple(say(text, test=name) for name in moved.values())


# From the most to the least improved; the sums are over the spots tested in both rounds. The words are
# our own, for reading: no published step of change exists for the battery.
_COURSES: tuple[tuple[Callable[[int, int, bool], bool], str], ...] = (
    (
        lambda before, after, alike: after == 0,
        gettext_noop("Battery: nothing that hurt last time hurts now."),
    ),
    (
        lambda before, after, alike: before == 0,
        gettext_noop("Battery: nothing hurt last time; now %(after)s points in all."),
    ),
    (
        lambda before, after, alike: 2 * after <= before,
        gettext_noop(
            "Battery: half as much familiar pain as last time or less, %(before)s points in all "
            "then, %(after)s now."
        ),
    ),
    (
        lambda before, after, alike: after < before,
        gettext_noop(
            "Battery: less familiar pain than last time, %(before)s points in all then, "
            "%(after)s now."
        ),
    ),
    (
        lambda before, after, alike: alike,
        gettext_noop("Battery: unchanged, the same pain in the same tests (%(after)s points)."),
    ),
    (
        lambda before, after, alike: after == before,
        gettext_noop(
            "Battery: as much familiar pain as last time in all (%(after)s points), some tests "
            "less and some more."
        ),
    ),
    (
        lambda before, after, alike: True,
        gettext_noop(
            "Battery: more familiar pain than last time, %(before)s points in all then, "
            "%(after)s now."
        ),
    ),
)


def course_of(changes: tuple[SpotChange, ...]) -> Sentence | None:
    """Return how the last round compares with the one before it; nothing when no spot hurt in either."""
    if not changes:
        return None
    before, after = sum(c.before for c in changes), sum(c.after for c in changes)
    alike = all(change.trend is Trend.SAME for change in changes)
    text = next(text for applies, text in _COURSES if applies(before, after, alike))
    return say(text, before=before, after=after)
