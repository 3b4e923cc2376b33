"""Published schedules by week, to hold a program against; the rules follow the arm, not the calendar.

Sources
-------
Peterson 2011, doi:10.3109/03009734.2011.600476; for lowering alone Peterson 2014,
doi:10.1177/0269215514527595. Heavy slow resistance: Kongsgaard 2009, Scand J Med Sci Sports 19:790–802;
Couppé 2022, doi:10.1177/03635465221110214. Tyler 2010, J Shoulder Elbow Surg 19:917–922. Holds: Vuvan
2020, doi:10.1249/MSS.0000000000002128. Each schedule says how far it is known.
"""

from dataclasses import dataclass

from clinic.evidence import Status
from clinic.wording import Sentence, gettext_noop, say

from .loads import HEAVY_SLOW, PETERSON_WEEKS, HeavySlowWeek, Sex, peterson_load_kg


@dataclass(frozen=True, kw_only=True)
class ScheduleRow:
    """One line: the weeks that it stands for, both included, and what is done in them.

    Without a last week it stands for every week from the first on.
    """

    first_week: int
    last_week: int | None
    words: Sentence

    @property
    def weeks(self) -> Sentence:
        """The weeks as they are shown."""
        if self.last_week is None:
            return say("from %(first)s on", first=self.first_week)
        if self.first_week == self.last_week:
            return say("%(first)s", first=self.first_week)
        return say("%(first)s–%(last)s", first=self.first_week, last=self.last_week)

    def holds_in(self, week: int) -> bool:
        """Whether the line stands for this week, counted from 1."""
        return self.first_week <= week <= (self.last_week or week)


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """What one trial prescribed for an exercise, week by week, and what that does not cover."""

    name: str
    rows: tuple[ScheduleRow, ...]
    source: str
    status: Status
    limits: str


def peterson(sex: Sex | None) -> Schedule:
    """Return Peterson's line of loads in kg for thirteen weeks, for both sexes where it is not known."""
    return Schedule(
        name=gettext_noop("Lifting and lowering, 0.1 kg more each week"),
        rows=_peterson_rows(sex),
        source="Peterson 2011, Ups J Med Sci 116:269–279, doi:10.3109/03009734.2011.600476",
        status=Status.SECOND_HAND,
        limits=gettext_noop(
            "Once a day for three months. The load of each week is computed from the rule."
        ),
    )


def peterson_lowering(sex: Sex | None) -> Schedule:
    """Return the same line for lowering alone, which is from memory."""
    return Schedule(
        name=gettext_noop("Lowering alone, 0.1 kg more each week"),
        rows=_peterson_rows(sex),
        source="Peterson 2014, Clin Rehabil 28:862–872, doi:10.1177/0269215514527595",
        status=Status.FROM_MEMORY,
        limits=gettext_noop(
            "Every day for three months with a rising load; probably the loads of the trial of 2011."
        ),
    )


def _peterson_rows(sex: Sex | None) -> tuple[ScheduleRow, ...]:
    weeks = range(1, PETERSON_WEEKS + 1)
    return tuple(
        ScheduleRow(first_week=week, last_week=week, words=_peterson_words(sex, week))
        for week in weeks
    )


def _peterson_words(sex: Sex | None, week: int) -> Sentence:
    if sex is not None:
        return say("3 × 15 with %(kg)s kg", kg=peterson_load_kg(sex, week))
    return say(
        "3 × 15 with %(women)s kg (women), %(men)s kg (men)",
        women=peterson_load_kg("female", week),
        men=peterson_load_kg("male", week),
    )


def _heavy_row(row: HeavySlowWeek) -> ScheduleRow:
    words = say(
        "%(sets)s × %(rm)s repetition maximum, %(up)s s up and %(down)s s down",
        sets=row.sets,
        rm=row.repetition_maximum,
        up=row.up_s,
        down=row.down_s,
    )
    return ScheduleRow(first_week=row.first_week, last_week=row.last_week, words=words)


HEAVY = Schedule(
    name=gettext_noop("Heavy slow resistance"),
    rows=tuple(_heavy_row(row) for row in HEAVY_SLOW),
    source="Kongsgaard 2009, Scand J Med Sci Sports 19:790–802; Couppé 2022, doi:10.1177/03635465221110214",
    status=Status.SECOND_HAND,
    limits=gettext_noop(
        "3 sessions a week, 2–3 min of rest between sets; written for the tendon below the kneecap. "
        "Kongsgaard used 4 sets throughout (from memory). At the elbow Couppé 2022 used 3 sets, from 15 to "
        "6 repetition maximum from week 8 on."
    ),
)

TWIST_BAR = Schedule(
    name=gettext_noop("Twist bar"),
    rows=(
        ScheduleRow(
            first_week=1,
            last_week=None,
            words=say("3 × 15 a day, about 4 s down; a thicker bar when it is easy"),
        ),
    ),
    source="Tyler 2010, J Shoulder Elbow Surg 19:917–922",
    status=Status.SECOND_HAND,
    limits=gettext_noop(
        "Added to care in a clinic, 7.2 weeks and 9 visits in the mean, 21 people. It changes with ease, not "
        "by week."
    ),
)

HOLDS = Schedule(
    name=gettext_noop("Holds at home for eight weeks"),
    rows=(
        ScheduleRow(
            first_week=1,
            last_week=8,
            words=say("Every day, less than 10 minutes; a little more each week"),
        ),
    ),
    source="Vuvan 2020, Med Sci Sports Exerc 52:287–295, doi:10.1249/MSS.0000000000002128",
    status=Status.SECOND_HAND,
    limits=gettext_noop(
        "Only the abstract and summaries were read. The load came from each person's own maximum; sets, "
        "seconds and effort are not known here, so none are shown."
    ),
)


def schedules_for(card: str, *, sex: Sex | None) -> tuple[Schedule, ...]:
    """Return the published schedules for an exercise by its code; none for most."""
    known = {
        "wrist-hold": (HOLDS,),
        "lower-slowly": (peterson_lowering(sex),),
        "lift-and-lower": (peterson(sex),),
        "turn-palm": (HEAVY,),
        "straight-arm-lift": (HEAVY,),
        "twist-bar": (TWIST_BAR,),
    }
    return known.get(card, ())
