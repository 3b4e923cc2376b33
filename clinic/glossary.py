"""The words of this program, one for each thing, as pages, paper and code use them."""

from dataclasses import dataclass

from clinic.wording import gettext_noop as _


@dataclass(frozen=True, slots=True)
class Word:
    """A word and what it means here, in one or two sentences; `anchor` is its place on the page."""

    word: str
    meaning: str

    @property
    def anchor(self) -> str:
        return self.word.replace(" ", "-")


@dataclass(frozen=True, slots=True)
class Part:
    """Words that belong together."""

    title: str
    words: tuple[Word, ...]


PARTS = (
    Part(
        _("The case"),
        (
            Word(
                _("case"),
                _(
                    "One episode at one elbow, right or left. A person with both elbows has two cases."
                ),
            ),
            Word(_("intake"), _("The first history of a case.")),
            Word(
                _("screening"),
                _("The questions that find what must not be loaded, or belongs elsewhere."),
            ),
            Word(
                _("battery"),
                _(
                    "One dated round of provocation tests, performed by a clinician, by a partner or by "
                    "the patient."
                ),
            ),
            Word(_("finding"), _("The answer of one test on one side, and at one finger.")),
            Word(
                _("familiar pain"),
                _(
                    "The pain that the patient came with, at or just below the lateral epicondyle. Only "
                    "this counts as positive."
                ),
            ),
            Word(
                _("visit"),
                _(
                    "One dated contact. It is a draft until it is signed; after that it changes by an "
                    "addendum alone."
                ),
            ),
            Word(
                _("addendum"),
                _("What is added to a signed visit later, with its own date and name."),
            ),
        ),
    ),
    Part(
        _("The measures"),
        (
            Word(
                _("pain rating"),
                _(
                    "A whole number from 0 to 10, always with what it is about: at rest, worst in 24 "
                    "hours, on gripping, during exercise, next morning."
                ),
            ),
            Word(
                _("grip test"),
                _(
                    "Up to three trials, and more where they scatter, on one side in one position with "
                    "one effort: pain-free or maximal. Kept in newtons."
                ),
            ),
            Word(
                _("grip ratio"),
                _(
                    "The affected side divided by the other one, in the same position with the same "
                    "effort. A value adjusted for handedness stands beside it."
                ),
            ),
            Word(
                _("questionnaire"),
                _(
                    "A scored set of questions, answered by number from the clinic's own form. Its "
                    "wording is not kept here."
                ),
            ),
            Word(
                _("measurement error"),
                _(
                    "How far a value may differ although nothing has changed. A change within it is not "
                    "called one."
                ),
            ),
        ),
    ),
    Part(
        _("The program"),
        (
            Word(
                _("stage"),
                _(
                    "One of the five rungs of the loading ladder: isometric, light isotonic, slow "
                    "resistance, heavy and fast, return to activity."
                ),
            ),
            Word(
                _("program"),
                _(
                    "What the patient does now: exercises, each with its dose. It has a version, and "
                    "does not change once it is issued."
                ),
            ),
            Word(
                _("dose"),
                _("Sets, repetitions or seconds held, load, tempo, rest, and sessions in a week."),
            ),
            Word(
                _("diary day"),
                _(
                    "What the patient wrote down for a day: sets and repetitions done, worst pain "
                    "during them, pain next morning, woken at night."
                ),
            ),
            Word(
                _("session state"),
                _(
                    "What the rules make of a diary day: settled, watch, too much, or unclassified "
                    "where something is missing."
                ),
            ),
            Word(
                _("decision"),
                _(
                    "Move up, stay, step back, or stop and review. The rules propose it; the "
                    "physiotherapist makes it."
                ),
            ),
            Word(
                _("load step"),
                _("What becomes of the load within a stage: add, keep or reduce."),
            ),
            Word(
                _("threshold"),
                _("A number that the rules go by, with its source. A clinic may set its own."),
            ),
        ),
    ),
    Part(
        _("Coming back"),
        (
            Word(
                _("due date"),
                _(
                    "When the physiotherapist wants the patient back. Who has one and no booking stands "
                    "on the list “Due”."
                ),
            ),
            Word(
                _("review"),
                _("A visit after the last decision, to see whether what was reached has stayed."),
            ),
            Word(
                _("pack"),
                _("What one patient takes home on a day, in the order in which it is printed."),
            ),
        ),
    ),
)
