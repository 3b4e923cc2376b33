"""What every home program tells the patient beside the exercises, in plain words (reading age about 11).

The wording is our own. Where a sentence rests on a figure, the figure stands here or comes from the
threshold table, with source and status; `sources` prints them.
"""

from dataclasses import dataclass

from assessments.clinical.untreated import CONTROL_ARMS
from clinic.evidence import Status
from clinic.wording import Sentence, say
from clinic.wording import gettext_noop as _
from rehab.clinical.daily_life import TIPS, Tip


@dataclass(frozen=True, kw_only=True)
class PainLimits:
    """The limits of the program's pain policy, in whole points of 0–10.

    Pain up to `settled_up_to` is settled, from `too_much_from` it is too much. A next morning is
    watched from `morning_watch` points above usual and too much from `morning_too_much`. Raises
    ValueError where the limits cross.
    """

    settled_up_to: int
    too_much_from: int
    morning_watch: int
    morning_too_much: int
    source: str | Sentence
    status: Status

    def __post_init__(self) -> None:
        if not 0 <= self.settled_up_to < self.too_much_from <= 10:
            raise ValueError("pain that is settled must end below pain that is too much")
        if not 1 <= self.morning_watch <= self.morning_too_much:
            raise ValueError("a morning is watched before it is too much")


@dataclass(frozen=True, kw_only=True)
class PainLevel:
    """One of the three levels: its word, shape, range of pain, what it is and what to do, also in brief."""

    word: str
    shape: str
    color: str
    span: str
    when: tuple[Sentence, ...]
    act: Sentence
    brief: str

    @property
    def pain(self) -> Sentence:
        """The range of pain, named."""
        return say("Pain %(span)s", span=self.span)


SCALE = _(
    "Give your pain a number from 0 to 10. 0 is no pain. 10 is the worst pain you can think of."
)

USUAL = _("Your pain on most mornings of the last week.")


def pain_levels(limits: PainLimits) -> tuple[PainLevel, ...]:
    """Return settled, watch and too much; watch is left out where the limits leave no room for it."""
    levels = (_settled(limits), _watch(limits), _too_much(limits))
    return tuple(level for level in levels if level.when)


def _settled(limits: PainLimits) -> PainLevel:
    morning = (
        say("The next morning is no worse than usual.")
        if limits.morning_watch == 1
        else say(
            "The next morning is less than %(points)s points worse than usual.",
            points=limits.morning_watch,
        )
    )
    return PainLevel(
        word=_("settled"),
        shape="full",
        color="#1f6b43",
        span=_span(0, limits.settled_up_to),
        when=(
            say("Pain during the exercise is %(span)s.", span=_span(0, limits.settled_up_to)),
            morning,
        ),
        act=say("Go on as planned."),
        brief=_("Go on."),
    )


def _watch(limits: PainLimits) -> PainLevel:
    first, last = limits.settled_up_to + 1, limits.too_much_from - 1
    low, high = limits.morning_watch, limits.morning_too_much - 1
    during = say("Pain during the exercise is %(span)s.", span=_span(first, last))
    morning = (
        say("The next morning is 1 point worse than usual.")
        if low == high == 1
        else say("The next morning is %(span)s points worse than usual.", span=_span(low, high))
    )
    return PainLevel(
        word=_("watch"),
        shape="half",
        color="#8a5a00",
        span=_span(first, last) if first <= last else "",
        when=tuple(
            sentence
            for sentence, holds in ((during, first <= last), (morning, low <= high))
            if holds
        ),
        act=say("This is allowed. Do the same again and add no weight."),
        brief=_("Do the same again."),
    )


def _too_much(limits: PainLimits) -> PainLevel:
    floor = limits.too_much_from
    during = (
        say("Pain during the exercise is 10.")
        if floor == 10
        else say("Pain during the exercise is %(floor)s or more.", floor=floor)
    )
    morning = (
        say("The next morning is worse than usual.")
        if limits.morning_too_much == 1
        else say(
            "The next morning is %(points)s or more points worse than usual.",
            points=limits.morning_too_much,
        )
    )
    return PainLevel(
        word=_("too much"),
        shape="square",
        color="#a3262a",
        span=_span(floor, 10),
        when=(
            during,
            morning,
            say("The pain is sharp, or the elbow locks."),
            say("Your elbow wakes you at night, as it did not before."),
        ),
        act=say(
            "Stop for today. Next time go back to the last weight or effort that was settled. "
            "Twice in a week: call us."
        ),
        brief=_("Stop for today."),
    )


def _span(low: int, high: int) -> str:
    return f"{low}–{high}" if low < high else f"{low}"


def stop_signs(limits: PainLimits) -> tuple[Sentence, ...]:
    """Return when to stop an exercise at once."""
    return (
        say("Your pain reaches %(floor)s or turns sharp.", floor=limits.too_much_from),
        say("Your arm or hand goes numb, tingles or is suddenly weak."),
        say("Your elbow locks, gives way or clicks with pain."),
        say("Your hand changes color, or you feel faint or unwell."),
    )


HELP_WHERE = _("Go to an urgent clinic or an emergency room. Do not wait.")
HELP_TODAY = (
    _("Your elbow is hot, red and swollen, or you have a fever."),
    _("Your elbow is quickly changing its shape."),
    _("You lose feeling in your hand, or it turns cold or pale."),
    _("A bone may be broken or out of its joint, or you fell on your hand."),
    _("You felt a pop with sudden pain, or your arm is suddenly weak."),
    _("Your hand or arm is fast getting more numb or weak."),
    _(
        "Pain in your arm or hand does not let up by day or night. "
        "This counts even more if you have had cancer."
    ),
)


def emergency(number: str) -> Sentence:
    """Return the sentence for when to call the emergency number at once."""
    return say(
        "Call %(number)s at once if your chest hurts or you can't get your breath. "
        "Call too if your arm hurts and your jaw or chest feels tight.",
        number=number,
    )


def call_us(review_weeks: int) -> tuple[Sentence, ...]:
    """Return when to call the clinic before the next visit."""
    return (
        say("Twice in a week, the next morning is worse than before the exercise."),
        say("Your elbow now wakes you at night."),
        say("Your elbow swells, or your arm or hand tingles."),
        say("Both elbows hurt, or more joints do."),
        say("You are stiff for a long time in the morning."),
        say("It is no better after %(weeks)s weeks of regular work.", weeks=review_weeks),
        say("You can't work or sleep because of it."),
    )


WHY = (
    _("The work is meant to make your arm stronger, a little at a time."),
    _("Studies do not agree how much more it helps than waiting."),
)
EXPECT = (
    _("Most people get better over months, also without treatment."),
    _("About 8 to 9 in 10 are well or much better after a year. Some still feel it then."),
    _("No one can say how fast your arm will get there."),
    _("A bad day is a sign of too much too soon, not of harm."),
)
CAUTION = (
    _("This sheet does not say what is wrong with your arm."),
    _(
        "What your physiotherapist tells you comes first. So do the rules of the place where you live."
    ),
)


def sources(limits: PainLimits) -> tuple[Sentence, ...]:
    """Return where the figures come from and how far each can be trusted."""
    return (
        say(
            "Pain limits: %(source)s (%(status)s). Sources do not agree on one limit.",
            source=limits.source,
            status=str(limits.status),
        ),
        say(
            "Getting better with time: %(source)s (%(status)s). Others: 8 to 9 in 10, within 1 year "
            "(Coombes 2015, J Orthop Sports Phys Ther 45:938–949) or over 1 to 2 (NICE CKS 2017).",
            source=CONTROL_ARMS.share.source,
            status=str(CONTROL_ARMS.share.status),
        ),
        say(
            "What exercise adds: %(source)s (%(status)s). The first found a little, the second nothing.",
            source="Karanasios 2021, Br J Sports Med 55:477–485; Lapner 2022, JSES Int 6:321–330",
            status=str(Status.PUBLISHED),
        ),
        say("A bad day is not harm: %(status)s.", status=str(Status.CONVENTION)),
        *map(_source_of, TIPS),
    )


def _source_of(tip: Tip) -> Sentence:
    status = str(tip.status)
    if not tip.source:
        return say("%(about)s: %(status)s.", about=tip.about, status=status)
    return say(
        "%(about)s: %(source)s (%(status)s).", about=tip.about, source=tip.source, status=status
    )
