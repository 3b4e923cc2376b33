"""How the arm took a session, a week, and whether enough was done to judge.

The pain-monitoring idea is Thomeé's and Silbernagel's (2007, doi:10.1177/0363546506298279); its
limits differ between sources, so each is a row of `thresholds`. Ratings are whole numbers and the
mean of seven mornings seldom is: it is taken to the nearest whole number (a half to the lower one)
before a morning is compared with it, so that "not above", "+1" and "+2" leave no gap between them.
"""

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from statistics import fmean

from clinic.wording import Sentence, gettext_noop, say

from .stages import Policy
from .thresholds import DEFAULTS, Limits

Days = tuple["DiaryDay", ...]

JUDGED_DAYS = 14  # how far back sessions are counted; common practice, no source


@dataclass(frozen=True, kw_only=True)
class DiaryDay:
    """What the patient wrote down for one day; None where the field was left empty.

    Pain 0–10. `next_morning_pain` and `night_wakings` belong to the night after this day's
    exercise. `load_kg` and `hold_s` None mean as the program asked. No sets done is a day of rest.
    Raises ValueError for a value outside its scale.
    """

    on: date
    sets_done: int
    last_set_repetitions: int | None = None
    load_kg: float | None = None
    hold_s: int | None = None
    worst_pain: int | None = None
    next_morning_pain: int | None = None
    night_wakings: int | None = None
    sharp_or_locking: bool = False

    def __post_init__(self) -> None:
        for pain in (self.worst_pain, self.next_morning_pain):
            if pain is not None and not 0 <= pain <= 10:
                raise ValueError(f"pain {pain} is not in 0 to 10")
        counts = (self.sets_done, self.last_set_repetitions, self.load_kg, self.hold_s)
        if any(count is not None and count < 0 for count in (*counts, self.night_wakings)):
            raise ValueError("counts, seconds and load must not be below 0")

    @property
    def trained(self) -> bool:
        """Return whether any set was done."""
        return self.sets_done > 0


class SessionState(StrEnum):
    """How the arm took one session."""

    SETTLED = gettext_noop("settled")
    WATCH = gettext_noop("watch")
    TOO_MUCH = gettext_noop("too much")
    UNCLASSIFIED = gettext_noop("unclassified")


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A session's state and why; `missing` names what was left empty."""

    state: SessionState
    reasons: tuple[Sentence, ...]
    missing: tuple[Sentence, ...] = ()


def baseline(days: Days, *, before: date, limits: Limits = DEFAULTS) -> float | None:
    """Return the mean morning pain (0–10) over the 7 days before a day, or None without any."""
    since = before - timedelta(days=int(limits["baseline_days"].value))
    mornings = [
        day.next_morning_pain
        for day in days
        if since <= day.on < before and day.next_morning_pain is not None
    ]
    return fmean(mornings) if mornings else None


def session_state(
    day: DiaryDay,
    *,
    baseline: float | None,
    policy: Policy,
    usual_night_wakings: int | None,
    limits: Limits = DEFAULTS,
) -> Reading:
    """Return how the arm took a session: too much, else unclassified, else watch, else settled.

    `baseline` is the usual morning pain (0–10), `usual_night_wakings` the wakings a night that the
    patient had anyway. One sign of too much is enough even when other fields are empty; anything
    less can be said only when all is known.
    """
    too_much = _too_much(day, baseline, policy, usual_night_wakings, limits)
    if too_much:
        return Reading(state=SessionState.TOO_MUCH, reasons=too_much)
    if not day.trained:
        return Reading(state=SessionState.UNCLASSIFIED, reasons=(say("No sets were done."),))
    missing = _missing(day, baseline, usual_night_wakings)
    if missing:
        words = say("The session can't be judged: something was left empty.")
        return Reading(state=SessionState.UNCLASSIFIED, reasons=(words,), missing=missing)
    watch = _watch(day, baseline, policy, limits)
    if watch:
        return Reading(state=SessionState.WATCH, reasons=watch)
    settled = say(
        "Worst pain %(pain)s during, %(morning)s the next morning, no new night waking.",
        pain=day.worst_pain,
        morning=day.next_morning_pain,
    )
    return Reading(state=SessionState.SETTLED, reasons=(settled,))


def _too_much(
    day: DiaryDay, usual: float | None, policy: Policy, usual_nights: int | None, limits: Limits
) -> tuple[Sentence, ...]:
    reasons = []
    floor = policy.pain_limits(limits).red_floor.value
    if day.worst_pain is not None and day.worst_pain >= floor:
        reasons.append(
            say(
                "Worst pain %(pain)s during exercise (too much from %(floor)s).",
                pain=day.worst_pain,
                floor=int(floor),
            )
        )
    rise = _rise(day, usual)
    if rise is not None and rise >= limits["morning_red_rise"].value:
        reasons.append(_rise_words(day, usual))
    if new_night_waking(day, usual_nights):
        reasons.append(say("Woken at night by the elbow, which is new."))
    if day.sharp_or_locking:
        reasons.append(say("Sharp pain or locking during exercise."))
    return tuple(reasons)


def _watch(
    day: DiaryDay, usual: float | None, policy: Policy, limits: Limits
) -> tuple[Sentence, ...]:
    reasons = []
    ceiling = policy.pain_limits(limits).green_ceiling.value
    if day.worst_pain is not None and day.worst_pain > ceiling:
        reasons.append(
            say(
                "Worst pain %(pain)s during exercise (settled up to %(ceiling)s).",
                pain=day.worst_pain,
                ceiling=int(ceiling),
            )
        )
    rise = _rise(day, usual)
    if rise is not None and rise >= limits["morning_watch_rise"].value:
        reasons.append(_rise_words(day, usual))
    return tuple(reasons)


def _rise(day: DiaryDay, usual: float | None) -> int | None:
    """How many whole points the morning lies above the usual one; a half counts as the lower."""
    if usual is None or day.next_morning_pain is None:
        return None
    return day.next_morning_pain - _whole(usual)


def _whole(usual: float) -> int:
    return math.ceil(usual - 0.5)


def _rise_words(day: DiaryDay, usual: float | None) -> Sentence:
    return say(
        "Pain %(pain)s the next morning, usually %(usual)s.",
        pain=day.next_morning_pain or 0,
        usual=_whole(usual or 0),
    )


def new_night_waking(day: DiaryDay, usual_night_wakings: int | None) -> bool:
    """Return whether the night after a day brought more wakings than were usual before."""
    if day.night_wakings is None or usual_night_wakings is None:
        return False
    return day.night_wakings > usual_night_wakings


def _missing(day: DiaryDay, usual: float | None, usual_nights: int | None) -> tuple[Sentence, ...]:
    known_nights = day.night_wakings == 0 or usual_nights is not None
    asked = (
        (day.worst_pain is not None, say("Worst pain during exercise is missing.")),
        (day.next_morning_pain is not None, say("Pain the next morning is missing.")),
        (usual is not None, say("No earlier morning to compare with.")),
        (day.night_wakings is not None, say("Night wakings are missing.")),
        (known_nights or day.night_wakings is None, say("The usual night wakings are not known.")),
    )
    return tuple(words for known, words in asked if not known)


class WeekState(StrEnum):
    """Where the weekly mean of the morning pain goes."""

    STEADY = gettext_noop("steady")
    HOLD = gettext_noop("no increases this week")
    TOO_MUCH = gettext_noop("less load this week")
    UNKNOWN = gettext_noop("no week to compare")


@dataclass(frozen=True, kw_only=True)
class Week:
    """The mean morning pain of the last 7 days beside that of the 7 days before, 0–10."""

    mean_now: float | None
    mean_before: float | None
    state: WeekState
    reason: Sentence


def week(days: Days, *, today: date, limits: Limits = DEFAULTS) -> Week:
    """Return the weekly trend of the morning pain up to the day before `today`.

    Mornings, because they are rated on days of rest too and do not rise with the load itself.
    """
    now = baseline(days, before=today, limits=limits)
    before = baseline(days, before=today - timedelta(days=7), limits=limits)
    if now is None or before is None:
        words = say("There are not two weeks of mornings to compare yet.")
        return Week(mean_now=now, mean_before=before, state=WeekState.UNKNOWN, reason=words)
    rise = round(now - before, 6)
    words = say(
        "Mean morning pain %(now)s this week, %(before)s the week before.",
        now=f"{now:.1f}",
        before=f"{before:.1f}",
    )
    return Week(mean_now=now, mean_before=before, state=_week_state(rise, limits), reason=words)


def _week_state(rise: float, limits: Limits) -> WeekState:
    if rise >= limits["week_red_rise"].value:
        return WeekState.TOO_MUCH
    return WeekState.HOLD if rise >= limits["week_hold_rise"].value else WeekState.STEADY


@dataclass(frozen=True, kw_only=True)
class Adherence:
    """Sessions done of those asked; `share` is a ratio (it may exceed 1) or None when none was
    asked."""

    done: int
    asked: float
    share: float | None


def adherence(
    days: Days, *, asked_per_week: int, today: date, window_days: int = JUDGED_DAYS
) -> Adherence:
    """Return how much of the last two weeks was done, counting up to the day before `today`.

    `window_days` is shorter while the program is younger than two weeks. A day with any set done is
    one session. Raises ValueError for a count below 0.
    """
    if asked_per_week < 0 or window_days < 0:
        raise ValueError("sessions asked and days must not be below 0")
    since = today - timedelta(days=window_days)
    done = sum(day.trained for day in days if since <= day.on < today)
    asked = asked_per_week * window_days / 7
    return Adherence(done=done, asked=asked, share=done / asked if asked else None)


def flares(
    days: Days, *, usual_night_wakings: int | None, today: date, limits: Limits = DEFAULTS
) -> tuple[date, ...]:
    """Return the first day of each flare in the last 14 days; days in a row are one flare.

    A flare: two mornings running at least 2 points above the mean of the 7 before (so that it lasts
    over 24 h), or new night waking. Convention, anchored on the error of the pain scale.
    """
    recent = [day for day in sorted_days(days) if today - timedelta(days=14) <= day.on <= today]
    bad = [day.on for day in recent if _flares_up(day, days, usual_night_wakings, limits)]
    return tuple(on for on in bad if on - timedelta(days=1) not in bad)


def _flares_up(day: DiaryDay, days: Days, usual_nights: int | None, limits: Limits) -> bool:
    if new_night_waking(day, usual_nights):
        return True
    usual = baseline(days, before=day.on, limits=limits)
    after = [other for other in days if other.on == day.on + timedelta(days=1)]
    mornings = [one.next_morning_pain for one in (day, *after)]
    if usual is None or None in mornings or len(mornings) < 2:
        return False
    floor = usual + limits["flare_rise"].value
    return all(pain is not None and pain >= floor for pain in mornings)


def flare_advice(count: int, *, limits: Limits = DEFAULTS) -> tuple[Sentence, ...]:
    """Return what to do about so many flares in 14 days (convention). Raises ValueError below 0."""
    if count < 0:
        raise ValueError("a count must not be below 0")
    if count == 0:
        return ()
    if count >= limits["flares_for_holds"].value:
        return (
            say("%(count)s flares in 14 days: go to holds below the pain threshold.", count=count),
            FLARE_MEANING,
        )
    return (
        say(
            "Leave out what set it off for 24–48 hours, keep the arm moving, then go on with the "
            "last load that settled overnight or a little less."
        ),
        FLARE_MEANING,
    )


FLARE_MEANING = say("A flare is a sign of too much too soon, not of damage.")


def sorted_days(days: Days) -> Days:
    """Return the diary in the order of its dates."""
    return tuple(sorted(days, key=lambda day: day.on))
