"""What the self-check sheet tells the patient beside each test's own steps, in plain words.

The tests and the ways to go wrong are common practice; when to stop is from memory, and no published
numeric stop rule was found (see `cases.clinical.battery_raised.STOP_PAIN`).
"""

from cases.clinical.battery_raised import STOP_PAIN
from cases.clinical.battery_tests import (
    FINGER_EXTENSION,
    PALPATION,
    PASSIVE_STRETCH,
    WRIST_EXTENSION,
)
from clinic.evidence import Status
from clinic.wording import Sentence, say
from clinic.wording import gettext_noop as _

NAMES = {
    PASSIVE_STRETCH.code: _("bend the wrist down, elbow straight"),
    WRIST_EXTENSION.code: _("hold the hand up"),
    FINGER_EXTENSION.code: _("hold one finger up"),
    PALPATION.code: _("press the knob of bone"),
}
FINGERS = {2: _("index"), 3: _("middle"), 4: _("ring"), 5: _("little")}
# Those that need no examiner, by their code.
POINTS = {
    "epicondyle": _("the knob of bone on the outside of the elbow"),
    "below": _("3–5 cm from the knob toward the hand"),
}

SURGERY = _("Had surgery on this arm? Test only if we told you that you may.")
RESTING = (
    _("Any number but 0? Do not test today. Write the number down and try another day."),
    _("At 0, go on: test a pain-free arm only."),
)
WHILE_TESTING = (
    _("Sit down. Test the arm that does not hurt first, then the sore one."),
    _("Start softly. Press slowly, never with a jerk."),
    _("Do not press until the hand or the finger gives way."),
    _("In the test with the hand, do not press on the fingers. Press on the back of the hand."),
    _("In the test with the fingers, do not press on the very tip."),
    _("Press as hard on one side as on the other."),
    _("Wait until the pain of one test is gone before the next one."),
    _("A finger will not lift by itself? Leave that test out and call us."),
)
ANSWERS = (
    _("No pain: it does not hurt. A stretch in the forearm is not pain."),
    _(
        "The pain I know: the pain you came to us with. "
        "It sits at the knob of bone on the outside of the elbow, or just below it."
    ),
    _("Other pain: it hurts somewhere else, or in another way. Write down where."),
    _("Not done: you left it out. Write down why."),
    _("How strong: circle the worst pain during the test."),
)
SOURCES = say(
    "The tests: %(practice)s. When to stop: %(memory)s; no published rule was found.",
    practice=str(Status.CONVENTION),
    memory=str(STOP_PAIN.status),
)


def stop_signs() -> tuple[Sentence, ...]:
    """Return when to end the check at once; what is written down until then still counts."""
    return (
        say("Your pain reaches %(floor)s or turns sharp.", floor=round(STOP_PAIN.value)),
        say("The pain of a test is not gone after 1–2 minutes."),
        say("Your arm or hand goes numb, tingles or is suddenly weak."),
        say("Your elbow locks, gives way or clicks with pain."),
        say("Your hand changes color, or you feel faint or unwell."),
        say("You want to stop."),
    )
