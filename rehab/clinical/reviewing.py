"""When somebody should look again: review, examine again, refer, coach.

Six weeks: NHS public text and Murtagh's General Practice. Six months: a summary of NICE CKS 2020;
other sources name 6–12 or 12 months. Twelve weeks is convention.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from clinic.wording import Sentence, gettext_noop, say

from .arm import ArmToday, Course
from .criterion import any_of
from .sessions import flare_advice, flares
from .stages import Stage
from .thresholds import Limits


class MessageKind(StrEnum):
    """What a message asks for."""

    URGENT = gettext_noop("act today")
    REFER = gettext_noop("refer")
    RE_EXAMINE = gettext_noop("examine again")
    REVIEW = gettext_noop("review")
    MEASURE = gettext_noop("measure")
    ADHERENCE = gettext_noop("talk about the exercises")
    FLARE = gettext_noop("flare")
    NEXT = gettext_noop("what comes next")


# The messages that ask for another look at the whole, the most serious first, each with its time.
LOOK_AGAIN = {
    MessageKind.REFER: "refer_weeks",
    MessageKind.RE_EXAMINE: "re_examine_weeks",
    MessageKind.REVIEW: "review_weeks",
}


@dataclass(frozen=True, kw_only=True)
class Message:
    """Something to tell or to do beside the decision."""

    kind: MessageKind
    words: Sentence

    def as_json(self) -> dict[str, Any]:
        """Return plain values; `from_json` reads them back."""
        return {"kind": str(self.kind), "words": self.words.as_json()}

    @classmethod
    def from_json(cls, stored: dict[str, Any]) -> "Message":
        """Rebuild a stored message. Raises ValueError on an unknown kind."""
        return cls(kind=MessageKind(stored["kind"]), words=Sentence.from_json(stored["words"]))


def improved(arm: ArmToday, limits: Limits) -> bool | None:
    """Return whether PRTEE or worst pain fell by what counts; None when neither can be compared.

    One measure that has not improved is enough for a no when the other is missing: waiting for more
    data must not put off a review.
    """
    falls = (
        _fall(arm.prtee_start, arm.prtee_today, limits["prtee_drop"].value),
        _fall(arm.worst_pain_start, arm.worst_pain_today, limits["pain_drop"].value),
    )
    return False if any_of(*falls) is None and False in falls else any_of(*falls)


def _fall(start: float | None, today: float | None, enough: float) -> bool | None:
    return None if start is None or today is None else start - today >= enough


def messages(arm: ArmToday, course: Course, limits: Limits) -> tuple[Message, ...]:
    """Return the review, adherence and flare messages that are due on this day."""
    low = _low_adherence(course, limits)
    found = flares(
        arm.diary, usual_night_wakings=arm.usual_night_wakings, today=arm.today, limits=limits
    )
    return (
        *_review(arm, limits, low=low is not None),
        *((low,) if low else ()),
        *(
            Message(kind=MessageKind.FLARE, words=words)
            for words in flare_advice(len(found), limits=limits)
        ),
    )


def time_reached(seen: int, today: int, limits: Limits) -> MessageKind | None:
    """Return what the time alone asks for, of a case that was last seen in week `seen` of its care.

    Both are whole weeks since the case was opened; None when no time of review, examining again or referral
    (6, 12 and 26 weeks as printed, sources above) has come since then. Whether anything has changed, only
    a visit tells.
    """
    came = (kind for kind, code in LOOK_AGAIN.items() if seen < limits[code].value <= today)
    return next(came, None)


def _low_adherence(course: Course, limits: Limits) -> Message | None:
    share = course.adherence.share
    if share is None or round(share * 100, 6) >= limits["adherence_share"].value:
        return None
    words = say("Ask what gets in the way, and make it fewer or shorter exercises.")
    return Message(kind=MessageKind.ADHERENCE, words=words)


def _review(arm: ArmToday, limits: Limits, *, low: bool) -> tuple[Message, ...]:
    if arm.weeks_in_care < limits["review_weeks"].value:
        return ()
    better = improved(arm, limits)
    if better:
        return _standstill(arm, limits)
    if better is None:
        words = say(
            "%(weeks)s weeks in care: rate PRTEE and worst pain to see whether it helps.",
            weeks=arm.weeks_in_care,
        )
        return (Message(kind=MessageKind.MEASURE, words=words), *_standstill(arm, limits))
    return _without_change(arm.weeks_in_care, limits, low=low)


def _standstill(arm: ArmToday, limits: Limits) -> tuple[Message, ...]:
    """An arm that got better and then stays where it is: nothing else would ask anybody to look.

    Convention, by the times after which nothing has changed: the same load for as long as until the
    review, or the same stage for as long as until the arm is examined again.
    """
    same_load = arm.days_since_load_step or 0
    if (
        arm.stage is not Stage.RETURN_TO_ACTIVITY
        and same_load >= 7 * limits["review_weeks"].value
        and arm.days_in_stage >= same_load
    ):
        words = say("%(weeks)s weeks at the same load: find what holds it.", weeks=same_load // 7)
        return (Message(kind=MessageKind.REVIEW, words=words),)
    if arm.days_in_stage >= 7 * limits["re_examine_weeks"].value:
        weeks = arm.days_in_stage // 7
        words = say("%(weeks)s weeks in this stage: find what holds it.", weeks=weeks)
        return (Message(kind=MessageKind.REVIEW, words=words),)
    return ()


def _without_change(weeks: int, limits: Limits, *, low: bool) -> tuple[Message, ...]:
    if weeks >= limits["refer_weeks"].value:
        words = say("%(weeks)s weeks without a change that counts: refer.", weeks=weeks)
        return (Message(kind=MessageKind.REFER, words=words),)
    if weeks >= limits["re_examine_weeks"].value:
        words = say(
            "%(weeks)s weeks without a change that counts: examine again whether it is the elbow.",
            weeks=weeks,
        )
        return (Message(kind=MessageKind.RE_EXAMINE, words=words),)
    if low:
        return ()
    words = say(
        "%(weeks)s weeks of regular work without a change that counts: review the plan.",
        weeks=weeks,
    )
    return (Message(kind=MessageKind.REVIEW, words=words),)
