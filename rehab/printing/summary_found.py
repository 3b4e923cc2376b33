"""Why the patient came and what was found: the first half of the course summary."""

from collections.abc import Iterator

from django.utils.translation import gettext
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer

from . import summary_words as words
from .paper import Styles
from .pieces import bullets, markup, para, together
from .summary_facts import Flag, Round, Screened, Why


def why(facts: Why, look: Styles) -> list[Flowable]:
    sentences = " ".join(markup(sentence) for sentence in words.came(facts))
    return [together(gettext("Why you came"), [Paragraph(sentences, look.body)], look)]


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
    yield para(" ".join(words.result(tested)), look.body)
    yield from bullets(words.spots(tested), look.item)
    if tested.elsewhere:
        yield para(gettext("Also seen, and not counted:"), look.body)
        yield from bullets(words.elsewhere(tested), look.item)


def _asked(screened: Screened | None, look: Styles) -> Iterator[Flowable]:
    if screened is None:
        yield para(gettext("The questions about warning signs were not asked yet."), look.body)
        return
    told = para(" ".join(words.answered(screened)), look.body)
    flags = [Paragraph(_flag(flag), look.item, bulletText="•") for flag in screened.flags]
    signs = bullets(words.signs(screened), look.item)
    rows = [*flags, *signs]
    yield KeepTogether([told, *rows[:1]])
    yield from (KeepTogether([row]) for row in rows[1:])


def _flag(flag: Flag) -> str:
    answer, more = words.flagged(flag)
    return f"<b>{markup(answer)}</b>{markup(more)}"
