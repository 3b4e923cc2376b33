"""What the course summary says in sentences; the printed sheet and the page set them.

All is plain text in the reader's language: who sets it escapes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils.translation import get_language, gettext, ngettext

from clinic.templatetags.clinic_tags import clock, say, written
from clinic.wording import gettext_noop

from . import advice
from .paper import ClinicContact
from .pieces import Words, unbroken
from .summary_facts import (
    Flag,
    Measured,
    MeasureRow,
    Plan,
    Round,
    Screened,
    Signed,
    Spot,
    Why,
    Work,
)

if TYPE_CHECKING:
    from .summary import CourseSummary

KEY = (
    gettext_noop("Error: how far such numbers differ when nothing has changed."),
    gettext_noop("Reached: how many of the important changes that studies name."),
)
SOURCES = gettext_noop("Sources: see the printed course.")
HELP = (
    gettext_noop(
        "Get help the same day if the elbow is hot, red and swollen, changes its shape, or you have a fever."
    ),
    gettext_noop(
        "Also if the hand turns numb, cold or pale, the arm is suddenly weak, or the pain never lets up."
    ),
)


def who(sheet: CourseSummary) -> list[str]:
    """Which elbow, whose, and how often they were seen."""
    born = gettext("born %(day)s") % {"day": written(sheet.born)}
    record = gettext("record %(record)s") % {"record": sheet.record}
    return [part for part in (say(sheet.elbow), record, born, _seen(sheet)) if part]


def _seen(sheet: CourseSummary) -> str:
    if not sheet.visits:
        return gettext("no visit yet")
    if sheet.since == sheet.until:
        return gettext("seen on %(day)s") % {"day": written(sheet.since)}
    text = ngettext(
        "seen %(count)s time, %(since)s to %(until)s",
        "seen %(count)s times, %(since)s to %(until)s",
        sheet.visits,
    )
    facts = {"since": written(sheet.since), "until": written(sheet.until)}
    return text % ({"count": sheet.visits} | facts)


def came(facts: Why) -> Iterator[str]:
    day = {"day": written(facts.began)}
    if facts.manner:
        yield gettext("The pain %(manner)s, about %(day)s.") % ({"manner": say(facts.manner)} | day)
    else:
        yield gettext("The pain began about %(day)s.") % day
    if facts.provoked:
        yield gettext("It hurts with %(what)s.") % {"what": listed(facts.provoked)}
    if facts.occupation:
        yield gettext("Your work: %(work)s.") % {"work": facts.occupation}
    if facts.sport:
        yield gettext("In your free time: %(sport)s.") % {"sport": facts.sport}
    for substance, on in facts.injections:
        yield gettext("You had an injection on %(day)s: %(what)s.") % {
            "day": written(on),
            "what": say(substance),
        }
    if facts.wants:
        yield gettext("You want to be able to: %(what)s.") % {"what": listed(facts.wants)}
    typed = facts.occupation or facts.sport or facts.wants
    if typed and get_language() != settings.LANGUAGE_CODE:
        yield gettext("Work, free time and wishes are quoted as they were written down.")


def listed(parts: Iterable[Words]) -> str:
    return ", ".join(say(part) for part in parts)


def result(tested: Round) -> Iterator[str]:
    yield gettext(
        "On %(day)s, %(hurt)s of %(done)s tests of this elbow gave the familiar pain, the one you "
        "came with."
    ) % {
        "day": written(tested.on),
        "hurt": tested.hurt,
        "done": tested.done,
    }
    if tested.performed:
        yield say(tested.performed)
    if tested.resting_pain:
        pain = {"pain": tested.resting_pain}
        yield gettext("The arm hurt %(pain)s of 10 before the first test.") % pain
    if tested.other_side:
        count = tested.other_side
        yield ngettext(
            "On the other side %(count)s test did.", "On the other side %(count)s tests did.", count
        ) % {"count": count}


def spots(tested: Round) -> list[str]:
    return [_spot(spot, tested) for spot in tested.spots]


def _spot(spot: Spot, tested: Round) -> str:
    """How strong the pain was, and in the first round."""
    facts = {"test": say(spot.test), "now": spot.now, "first": spot.first}
    if spot.first is None:
        return gettext("%(test)s: %(now)s of 10.") % facts
    facts["day"] = written(tested.first_on)
    return gettext("%(test)s: %(now)s of 10; on %(day)s it was %(first)s.") % facts


def elsewhere(tested: Round) -> list[str]:
    return [f"{say(test)}: {say(what)}." for test, what in tested.elsewhere]


def answered(screened: Screened) -> Iterator[str]:
    yield gettext(
        "On %(day)s we asked %(count)s questions about warning signs: infection, fracture, nerves, "
        "neck, heart, cancer, other joints and medicines."
    ) % {"day": written(screened.on), "count": screened.asked}
    clear = screened.asked - len(screened.flags)
    if not screened.flags:
        yield gettext("The answer to each was no.")
    else:
        yield gettext("The answer to %(clear)s of them was no.") % {"clear": clear}
    if screened.left:
        yield ngettext(
            "%(count)s question was not asked yet.",
            "%(count)s questions were not asked yet.",
            screened.left,
        ) % {"count": screened.left}


def flagged(flag: Flag) -> tuple[str, str]:
    """An answer that is not a plain no, and what else is to be said of it."""
    answer = gettext("Yes: %(what)s") if flag.known else gettext("Not known: %(what)s")
    note = f" ({flag.note})." if flag.note else "."
    return answer % {"what": say(flag.condition)}, " ".join([note, *_acted(flag)])


def _acted(flag: Flag) -> Iterator[str]:
    if flag.defers:
        yield gettext("Not yet: %(what)s.") % {"what": say(flag.defers)}
    if flag.done:
        yield ended(
            gettext("Done on %(day)s: %(what)s") % {"day": written(flag.done_on), "what": flag.done}
        )
    elif flag.must_act:
        yield gettext("What was done about it is not written down yet.")


def ended(words: str) -> str:
    """What somebody typed, with a full stop where they left it out."""
    return words if words.endswith((".", "!", "?")) else f"{words}."


def signs(screened: Screened) -> list[str]:
    return [f"{say(title)}: {say(words)}" for title, words in screened.signs]


def key(facts: Measured) -> Iterator[str]:
    """What the columns of the measures mean, and what was measured once."""
    if not facts.rows:
        yield gettext("Measured on %(day)s. There is nothing to compare it with yet.") % {
            "day": written(facts.on)
        }
        return
    yield from map(say, KEY)
    once = (f"{row.name}: {row.now} ({row.days})" for row in facts.once)
    if facts.once:
        yield gettext("Measured once: %(what)s.") % {"what": "; ".join(once)}


def changed(row: MeasureRow) -> str:
    return f"{row.change} ({row.days})" if row.days else row.change


def reached(row: MeasureRow) -> str:
    facts = {"reached": row.reached, "published": row.published}
    return gettext("%(reached)s of %(published)s") % facts if row.published else ""


def no_program(*, held_up: bool) -> str:
    """Said where there is none; a program may be `held_up` by an answer that comes first."""
    words = gettext("There is no program now.")
    return f"{words} {gettext('What the questions found comes first.')}" if held_up else words


def stage(facts: Work) -> str:
    return gettext("Stage %(stage)s of 5 since %(day)s (%(aim)s), program %(version)s.") % {
        "stage": facts.stage,
        "day": written(facts.since),
        "aim": say(facts.aim).lower(),
        "version": facts.version,
    }


def allowed(facts: Work) -> str:
    """How much pain is all right, how much to watch, and how much too much."""
    settled, *watch, too_much = (level.span for level in advice.pain_levels(facts.limits))
    if not any(watch):
        return gettext(
            "Pain of %(span)s during an exercise is all right. Pain of %(limit)s is too much."
        ) % {"span": settled, "limit": too_much}
    return gettext(
        "Pain of %(span)s during an exercise is all right. At %(watch)s, do the same again and add "
        "nothing. Pain of %(limit)s is too much."
    ) % {"span": settled, "watch": watch[0], "limit": too_much}


def closed(facts: Plan, clinic: ClinicContact) -> str:
    again = gettext("If the pain comes back, call us on %(phone)s.")
    return f"{ended(say(facts.closed))} {again % {'phone': unbroken(clinic.phone)}}"


def coming(facts: Plan, clinic: ClinicContact) -> Iterator[str]:
    """When the patient comes back, and what was decided last."""
    yield _next_visit(facts, clinic)
    if facts.due_on:
        soon = gettext("We want to see you again by %(day)s.")
        gone = gettext("We wanted to see you again by %(day)s.")
        yield (gone if facts.overdue else soon) % {"day": written(facts.due_on)}
    if facts.decided:
        yield gettext("On %(day)s we decided: %(what)s") % {
            "day": written(facts.decided_on),
            "what": say(facts.decided),
        }


def _next_visit(facts: Plan, clinic: ClinicContact) -> str:
    visit = facts.next_visit
    if visit is None:
        phone = {"phone": unbroken(clinic.phone)}
        return gettext("Your next visit is not booked yet. Please call %(phone)s.") % phone
    return gettext("Your next visit is on %(day)s at %(time)s, with %(who)s.") % {
        "day": visit.day,
        "time": clock(visit.at),
        "who": visit.practitioner,
    }


def cautions(clinic: ClinicContact, *, sources: bool) -> list[str]:
    """What to take care of; where the figures have their `sources` is told where there are figures."""
    said = (*advice.CAUTION, *HELP, advice.emergency(clinic.emergency_phone))
    return [say(words) for words in ((*said, SOURCES) if sources else said)]


def registered(facts: Signed) -> str:
    if facts.registration:
        return gettext("Registration number %(number)s") % {"number": facts.registration}
    return gettext("No registration number is on record.")


def signed_last(facts: Signed) -> str:
    if facts.last_on is None:
        return gettext("No visit of this case is signed yet.")
    return gettext("The last signed visit is of %(day)s, signed by %(who)s.") % {
        "day": written(facts.last_on),
        "who": facts.last_by,
    }


def not_signed(facts: Signed) -> str:
    """A later visit that is still a draft, or nothing."""
    if facts.draft_on is None:
        return ""
    return gettext(
        "The visit of %(day)s is not signed yet. What this sheet says of it may still change."
    ) % {"day": written(facts.draft_on)}


def standing(facts: Signed) -> str:
    """What stands on every page while the last visit is a draft."""
    if facts.draft_on is None:
        return ""
    return gettext("The visit of %(day)s is not signed yet.") % {"day": written(facts.draft_on)}
