"""Two rounds of the battery side by side: what still hurts, and by how much less."""

from dataclasses import dataclass

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


@dataclass(frozen=True, kw_only=True)
class SpotChange:
    """Familiar pain of one test (and finger) then and now, 0–10; `less_by` is before − after."""

    test: str
    finger: int | None
    before: int
    after: int
    trend: Trend

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
    Trend.LESS: gettext_noop("Still hurting, but less: %(count)s, by %(least)s–%(most)s points."),
    Trend.SAME: gettext_noop("Still hurting as before: %(count)s."),
    Trend.MORE: gettext_noop("Hurting more: %(count)s, by %(least)s–%(most)s points."),
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
            lines.append(say(text, count=len(sizes), least=min(sizes), most=max(sizes)))
    return tuple(lines)
