"""Why the patient came and what was found: the first half of the course summary."""

from collections.abc import Iterable, Iterator

from django.utils.translation import gettext, ngettext
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer

from clinic.templatetags.clinic_tags import say, written

from .paper import Styles
from .pieces import Words, bullets, markup, para, together
from .summary_facts import Flag, Round, Screened, Spot, Why


def why(facts: Why, look: Styles) -> list[Flowable]:
    sentences = " ".join(markup(sentence) for sentence in _came(facts))
    return [together(gettext("Why you came"), [Paragraph(sentences, look.body)], look)]


def _came(facts: Why) -> Iterator[str]:
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


def listed(parts: Iterable[Words]) -> str:
    return ", ".join(say(part) for part in parts)


def found(tested: Round | None, screened: Screened | None, look: Styles) -> list[Flowable]:
    """The last round of tests, then the questions that were asked to be safe."""
    title = gettext("What we found")
    return [
        together(title, list(_tested(tested, look)), look),
        Spacer(1, 4),
        *_asked(screened, look),
    ]


def _tested(tested: Round | None, look: Styles) -> Iterator[Flowable]:
    if tested is None:
        yield para(gettext("The elbow has not been tested yet."), look.body)
        return
    yield para(" ".join(_result(tested)), look.body)
    yield from bullets([_spot(spot, tested) for spot in tested.spots], look.item)
    if tested.elsewhere:
        yield para(gettext("Also seen, and not counted:"), look.body)
        rows = (f"{say(test)}: {say(what)}." for test, what in tested.elsewhere)
        yield from bullets(rows, look.item)


def _result(tested: Round) -> Iterator[str]:
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


def _spot(spot: Spot, tested: Round) -> str:
    """How strong the pain was, and in the first round."""
    facts = {"test": say(spot.test), "now": spot.now, "first": spot.first}
    if spot.first is None:
        return gettext("%(test)s: %(now)s of 10.") % facts
    facts["day"] = written(tested.first_on)
    return gettext("%(test)s: %(now)s of 10; on %(day)s it was %(first)s.") % facts


def _asked(screened: Screened | None, look: Styles) -> Iterator[Flowable]:
    if screened is None:
        yield para(gettext("The questions about warning signs were not asked yet."), look.body)
        return
    told = para(" ".join(_answered(screened)), look.body)
    flags = [Paragraph(" ".join(_flag(flag)), look.item, bulletText="•") for flag in screened.flags]
    signs = bullets((f"{say(title)}: {say(words)}" for title, words in screened.signs), look.item)
    first, others = [*flags, *signs][:1], [*flags, *signs][1:]
    yield KeepTogether([told, *first])
    yield from (KeepTogether([row]) for row in others)


def _answered(screened: Screened) -> Iterator[str]:
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


def _flag(flag: Flag) -> Iterator[str]:
    answer = gettext("Yes: %(what)s") if flag.known else gettext("Not known: %(what)s")
    note = f" ({markup(flag.note)})" if flag.note else ""
    yield f"<b>{markup(answer % {'what': say(flag.condition)})}</b>{note}."
    if flag.defers:
        yield markup(gettext("Not yet: %(what)s.") % {"what": say(flag.defers)})
    if flag.done:
        done = gettext("Done on %(day)s: %(what)s") % {
            "day": written(flag.done_on),
            "what": flag.done,
        }
        yield markup(ended(done))
    elif flag.must_act:
        yield markup(gettext("What was done about it is not written down yet."))


def ended(words: str) -> str:
    """What somebody typed, with a full stop where they left it out."""
    return words if words.endswith((".", "!", "?")) else f"{words}."
