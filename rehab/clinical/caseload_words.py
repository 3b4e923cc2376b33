"""What a caseload says in sentences: results and who is missing in one breath, never a verdict."""

from clinic.wording import Sentence, gettext_noop, say
from rehab.clinical.caseload import AtHorizon, Attendance, Counted, Missing, Share


def percent_words(share: Share) -> Sentence | None:
    """Return "64 %, 52 to 75 %", or None when there are too few for a percentage."""
    if share.interval is None:
        return None
    low, high = share.interval
    return say("%(percent)s %%, %(low)s to %(high)s %%", percent=share.percent, low=low, high=high)


def headline(at: AtHorizon, counted: Counted) -> tuple[Sentence, ...]:
    """Return what a horizon says: how many were measured again, who reached what, and who is missing.

    The leading threshold is named, and so is the span of all others beside it.
    """
    if at.started == 0:
        return (say("No case has %(measure)s at its start.", measure=counted.name),)
    text = _ONE if at.started == 1 else _MEASURED
    measured = say(
        text,
        started=at.started,
        measured=at.measured,
        weeks=at.horizon.weeks,
        measure=counted.name,
    )
    return tuple(filter(None, (measured, _reached(at, counted), missing_words(at))))


def missing_words(at: AtHorizon) -> Sentence | None:
    """Return how many are missing and why; None when nobody is."""
    if not at.all_missing:
        return None
    text = _MISSING_ONE if at.all_missing == 1 else _MISSING
    return say(text, missing=at.all_missing, **{why.value: at.missing[why] for why in Missing})


def attendance_words(attendance: Attendance) -> Sentence:
    """Return how many of the appointments were missed, and how many nobody has marked."""
    share = attendance.share
    if not share.total:
        return say("No past appointment has been marked yet.")
    words = percent_words(share)
    text = _MISSED_SHARE if words else _MISSED
    said = say(text, missed=share.count, total=share.total, share=words or "")
    if not attendance.unmarked:
        return said
    return say("%(said)s Not marked: %(unmarked)s.", said=said, unmarked=attendance.unmarked)


_MISSED_SHARE = gettext_noop("%(missed)s of %(total)s appointments were missed (%(share)s).")
_MISSED = gettext_noop("%(missed)s of %(total)s appointments were missed.")


def _reached(at: AtHorizon, counted: Counted) -> Sentence | None:
    if not at.measured:
        return None
    leading = next(row for row in at.reached if row.mark is counted.leading)
    others = [row.share.count for row in at.reached if row is not leading]
    share = percent_words(leading.share)
    text = _WITH_SHARE if share else _WITHOUT_SHARE
    said = say(
        text,
        reached=leading.share.count,
        total=leading.share.total,
        share=share or "",
        amount=leading.mark.words,
        name=leading.mark.name,
    )
    if not others:
        return said
    text = _AND_THE_SAME if min(others) == max(others) else _AND_OTHERS
    return say(text, said=said, low=min(others), high=max(others))


_ONE = gettext_noop(
    "Of the one case with %(measure)s at the start, %(measured)s was measured again at %(weeks)s weeks."
)
_MEASURED = gettext_noop(
    "Of %(started)s cases with %(measure)s at the start, %(measured)s were measured again at "
    "%(weeks)s weeks."
)
_WITH_SHARE = gettext_noop(
    "%(reached)s of these %(total)s (%(share)s) improved by %(amount)s (%(name)s)"
)
_WITHOUT_SHARE = gettext_noop("%(reached)s of these %(total)s improved by %(amount)s (%(name)s)")
_AND_OTHERS = gettext_noop("%(said)s; by the other thresholds it is %(low)s to %(high)s.")
_AND_THE_SAME = gettext_noop("%(said)s; by every other threshold it is %(low)s.")
_MISSING_ONE = gettext_noop(
    "%(missing)s is missing: %(closed)s closed before, %(not_due)s not due yet, %(lost)s due and not "
    "measured."
)
_MISSING = gettext_noop(
    "%(missing)s are missing: %(closed)s closed before, %(not_due)s not due yet, %(lost)s due and not "
    "measured."
)
