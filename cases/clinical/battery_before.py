"""What the last screening says before the first test: confirm an emergency, leave out what can't move."""

from cases.clinical.screening import Answer, GivenAnswer, deferred, open_items, unsettled
from cases.clinical.screening_questions import Action, Question
from clinic.wording import Sentence, gettext_noop, say

FINGER_TEST = "finger-extension"
NO_LIFT = gettext_noop("a finger or thumb will not lift (screening)")
# What puts off a test of the battery: the question, and what waits.
_WAITING = {"fracture", "tendon-tear", "finger-drop", "instability", "recent-surgery"}
# What would be an emergency: it puts off everything as long as nobody knows.
_EVERYTHING = {"hot-joint", "septic-bursitis", "heart-or-chest"}

Answers = tuple[GivenAnswer, ...]


def open_emergencies(answers: Answers) -> tuple[Question, ...]:
    """Return the questions answered yes that call for emergency care, with nothing written down.

    Raises ValueError when a question has two answers.
    """
    return tuple(q for q in open_items(answers) if q.action is Action.EMERGENCY)


def fingers_do_not_lift(answers: Answers) -> bool:
    """Whether the screening found a finger or thumb that will not lift."""
    return any(a.code == "finger-drop" and a.answer is Answer.YES for a in answers)


_EMERGENCY = gettext_noop(
    "Screening: %(condition)s. Emergency, same day, and nothing is written down about it yet."
)
_PUT_OFF = gettext_noop("Screening: %(condition)s. Put off until cleared: %(what)s.")


def before_the_tests(answers: Answers) -> tuple[Sentence, ...]:
    """Return what has to be known before the first test, an open emergency first.

    Raises ValueError when a question has two answers.
    """
    urgent = [say(_EMERGENCY, condition=q.condition) for q in open_emergencies(answers)]
    not_known = _EVERYTHING & {question.code for question in unsettled(answers)}
    waiting = [
        say(_PUT_OFF, condition=question.condition, what=question.defers)
        for question in deferred(answers)
        if question.code in _WAITING | not_known
    ]
    return (*urgent, *waiting)
