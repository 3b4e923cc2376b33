"""Published schedules by week, to hold a program against; the rules follow the arm, not the calendar.

Sources
-------
Peterson 2011, doi:10.3109/03009734.2011.600476. Heavy slow resistance: Kongsgaard 2009, Scand J Med Sci
Sports 19:790–802. Tyler 2010, J Shoulder Elbow Surg 19:917–922. Long holds: Murtagh's textbook of general
practice. All were read second-hand.
"""

from dataclasses import dataclass

from clinic.evidence import Status
from clinic.wording import Sentence, gettext_noop, say

from .loads import HEAVY_SLOW, PETERSON_WEEKS, Sex, peterson_load_kg

LONG_HOLD_START_S, LONG_HOLD_STEP_S, LONG_HOLD_WEEKS = 10, 5, 11
TWIST_BAR_WEEKS = 7


@dataclass(frozen=True, kw_only=True)
class ScheduleRow:
    """One line: the weeks that it stands for, both included, and what is done in them."""

    first_week: int
    last_week: int
    words: Sentence

    @property
    def weeks(self) -> str:
        """The weeks as they are printed."""
        if self.first_week == self.last_week:
            return str(self.first_week)
        return f"{self.first_week}–{self.last_week}"


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """What one study or textbook prescribed for an exercise of `cards`, week by week."""

    cards: frozenset[str]
    name: str
    rows: tuple[ScheduleRow, ...]
    source: str
    status: Status
    limits: str


def peterson(sex: Sex | None) -> Schedule:
    """Return Peterson's line of loads in kg for thirteen weeks, for both sexes where it is not known."""
    return Schedule(
        cards=frozenset({"lift-and-lower"}),
        name=gettext_noop("Lifting and lowering, 0.1 kg more each week"),
        rows=tuple(_peterson_row(sex, week) for week in range(1, PETERSON_WEEKS + 1)),
        source="Peterson 2011, Ups J Med Sci 116:269–279, doi:10.3109/03009734.2011.600476",
        status=Status.SECOND_HAND,
        limits=gettext_noop(
            "3 × 15 once a day for three months. The loads are computed from the rule."
        ),
    )


def _peterson_row(sex: Sex | None, week: int) -> ScheduleRow:
    if sex is None:
        women, men = (peterson_load_kg(one, week) for one in ("female", "male"))
        words = say("3 × 15 with %(women)s kg (women), %(men)s kg (men)", women=women, men=men)
    else:
        words = say("3 × 15 with %(kg)s kg", kg=peterson_load_kg(sex, week))
    return ScheduleRow(first_week=week, last_week=week, words=words)


HEAVY = Schedule(
    cards=frozenset({"lift-and-lower", "thumb-up-lift", "turn-palm", "straight-arm-lift"}),
    name=gettext_noop("Heavy slow resistance"),
    rows=tuple(
        ScheduleRow(
            first_week=row.first_week,
            last_week=row.last_week,
            words=say(
                "%(sets)s × %(rm)s repetition maximum, %(up)s s up and %(down)s s down",
                sets=row.sets,
                rm=row.repetition_maximum,
                up=row.up_s,
                down=row.down_s,
            ),
        )
        for row in HEAVY_SLOW
    ),
    source="Kongsgaard 2009, Scand J Med Sci Sports 19:790–802; Couppé 2022, doi:10.1177/03635465221110214",
    status=Status.SECOND_HAND,
    limits=gettext_noop(
        "3 sessions a week, 2–3 min of rest between sets. Kongsgaard used 4 sets throughout (from memory); "
        "Couppé 2022 used 3 sets for the elbow."
    ),
)

TWIST_BAR = Schedule(
    cards=frozenset({"twist-bar"}),
    name=gettext_noop("Twist bar"),
    rows=(
        ScheduleRow(
            first_week=1,
            last_week=TWIST_BAR_WEEKS,
            words=say("3 × 15 a day, about 4 s down; a thicker bar when it is easy"),
        ),
    ),
    source="Tyler 2010, J Shoulder Elbow Surg 19:917–922",
    status=Status.SECOND_HAND,
    limits=gettext_noop(
        "Added to care in a clinic, 7.2 weeks and 9 visits in the mean, 21 people; no weeks are printed."
    ),
)

LONG_HOLDS = Schedule(
    cards=frozenset({"wrist-hold"}),
    name=gettext_noop("Towel wringing with longer holds"),
    rows=tuple(
        ScheduleRow(
            first_week=week,
            last_week=week,
            words=say(
                "%(seconds)s s each way, twice a day",
                seconds=LONG_HOLD_START_S + LONG_HOLD_STEP_S * (week - 1),
            ),
        )
        for week in range(1, LONG_HOLD_WEEKS + 1)
    ),
    source="Murtagh's textbook of general practice",
    status=Status.SECOND_HAND,
    limits=gettext_noop(
        "Another exercise than the wrist hold, without a result. It tells people to go on despite pain, "
        "which the pain limits of this program do not."
    ),
)


def schedules_for(card: str, *, sex: Sex | None) -> tuple[Schedule, ...]:
    """Return the published schedules for an exercise by its code; none for most."""
    known = (LONG_HOLDS, peterson(sex), HEAVY, TWIST_BAR)
    return tuple(one for one in known if card in one.cards)
