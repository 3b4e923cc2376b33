"""Screening: what must not be loaded, or belongs elsewhere, and what to do about it.

A yes does not name a disease. It names what has to happen before a program may be issued. Every
question must be asked: one that was not is a reason of its own to wait.
"""

from dataclasses import dataclass

from cases.clinical.labels import Labelled
from cases.clinical.screening_questions import QUESTIONS, Action, Question
from clinic.wording import Sentence, gettext_noop, say

STOPPING = (Action.EMERGENCY, Action.REFER)

BY_CODE = {question.code: question for question in QUESTIONS}


class Answer(Labelled):
    """Unknown is an answer: asked, and neither the patient nor the examination could tell."""

    YES = "yes", gettext_noop("yes")
    NO = "no", gettext_noop("no")
    UNKNOWN = "unknown", gettext_noop("not known")


@dataclass(frozen=True, kw_only=True)
class GivenAnswer:
    """One answer; `action_taken` is what was written down about it, or empty."""

    code: str
    answer: Answer
    action_taken: str = ""

    def __post_init__(self) -> None:
        if self.code not in BY_CODE:
            raise ValueError(f"there is no screening question {self.code!r}")

    @property
    def question(self) -> Question:
        """The row of the form that was answered."""
        return BY_CODE[self.code]

    @property
    def settled(self) -> bool:
        """Whether what was done about it is written down."""
        return bool(self.action_taken.strip())


def _stopping(answers: tuple[GivenAnswer, ...], answer: Answer) -> tuple[Question, ...]:
    return tuple(
        given.question
        for given in _in_order(answers)
        if given.answer is answer and given.question.action in STOPPING and not given.settled
    )


def _in_order(answers: tuple[GivenAnswer, ...]) -> list[GivenAnswer]:
    """Return the answers in the order of the form; ValueError when a question has two."""
    by_code = {given.code: given for given in answers}
    if len(by_code) != len(answers):
        raise ValueError("a screening question has two answers")
    return [by_code[question.code] for question in QUESTIONS if question.code in by_code]


def open_items(answers: tuple[GivenAnswer, ...]) -> tuple[Question, ...]:
    """Return the questions answered yes that call for help elsewhere, with nothing written down.

    Raises ValueError when a question has two answers.
    """
    return _stopping(answers, Answer.YES)


def unsettled(answers: tuple[GivenAnswer, ...]) -> tuple[Question, ...]:
    """Return the same kind of questions answered "not known", with nothing written down.

    Raises ValueError when a question has two answers.
    """
    return _stopping(answers, Answer.UNKNOWN)


def unanswered(answers: tuple[GivenAnswer, ...]) -> tuple[Question, ...]:
    """Return the questions that were not asked, in the order of the form."""
    given = {answer.code for answer in answers}
    return tuple(question for question in QUESTIONS if question.code not in given)


def deferred(answers: tuple[GivenAnswer, ...]) -> tuple[Question, ...]:
    """Return the questions whose answer puts a test or a load off; not known counts like yes.

    Each says in `defers` what waits. Raises ValueError when a question has two answers.
    """
    return tuple(
        given.question
        for given in _in_order(answers)
        if given.answer is not Answer.NO and given.question.defers
    )


_NOT_ASKED = gettext_noop("Not asked yet: %(condition)s.")
_NOT_KNOWN = gettext_noop("Not known: %(condition)s. Write down how it will be found out.")
_MUST = {
    Action.EMERGENCY: gettext_noop(
        "Emergency, same day: %(condition)s. Write down what was done before going on."
    ),
    Action.REFER: gettext_noop(
        "Stop and refer: %(condition)s. Write down what was done before going on."
    ),
}


def must_wait(answers: tuple[GivenAnswer, ...]) -> tuple[Sentence, ...]:
    """Return what must be acted on before the arm is loaded or tested at home, the most urgent first.

    Emergency and referral put off tests as well as exercises (usual practice, from memory; where a source
    is printed it stands with the question). What was done about an answer, once written down, lifts it.
    Raises ValueError when a question has two answers.
    """
    urgent = sorted(open_items(answers), key=lambda question: STOPPING.index(question.action))
    return (
        *(say(_MUST[question.action], condition=question.condition) for question in urgent),
        *(say(_NOT_KNOWN, condition=question.condition) for question in unsettled(answers)),
    )


def may_issue(answers: tuple[GivenAnswer, ...]) -> tuple[bool, tuple[Sentence, ...]]:
    """Return whether a program may be issued, and every reason why not, the most urgent first.

    Raises ValueError when a question has two answers.
    """
    reasons = (
        *must_wait(answers),
        *(say(_NOT_ASKED, condition=question.condition) for question in unanswered(answers)),
    )
    return not reasons, reasons


@dataclass(frozen=True, kw_only=True)
class Change:
    """One answer that is not what it was in the round before; None is "not asked"."""

    question: Question
    before: Answer | None
    now: Answer | None


def changes(
    before: tuple[GivenAnswer, ...] | None, now: tuple[GivenAnswer, ...]
) -> tuple[Change, ...]:
    """Return what changed from round to round, in the order of the form.

    A first round (`before` is None) shows what is not a plain no.
    Raises ValueError when a question has two answers in one round.
    """
    was = {given.code: given.answer for given in _in_order(before or ())}
    has = {given.code: given.answer for given in _in_order(now)}
    first = Answer.NO if before is None else None
    pairs = (
        (question, was.get(question.code, first), has.get(question.code)) for question in QUESTIONS
    )
    return tuple(
        Change(question=question, before=None if before is None else old, now=new)
        for question, old, new in pairs
        if old is not new and not (before is None and new is None)
    )
