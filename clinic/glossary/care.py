"""Words of a case: what is asked, tested and written down."""

from clinic.evidence import Status
from clinic.glossary.word import Part, Source, Unlike, Word
from clinic.wording import gettext_noop as _

CARE = Part(
    _("The case"),
    (
        Word(
            word=_("case"),
            meaning=_(
                "One episode at one elbow, right or left. A person with both elbows has two cases."
            ),
        ),
        Word(
            word=_("intake"),
            meaning=_("The first history of a case."),
            unlike=(Unlike(_("screening"), _("asks what must come before tests and loads.")),),
        ),
        Word(
            word=_("screening"),
            meaning=_("The questions that find what must not be loaded, or belongs elsewhere."),
            unlike=(Unlike(_("battery"), _("looks for the familiar pain.")),),
        ),
        Word(
            word=_("battery"),
            meaning=_(
                "One dated round of provocation tests, performed by a clinician, by a partner or by "
                "the patient."
            ),
            unlike=(Unlike(_("finding"), _("is the answer of one test of the round.")),),
        ),
        Word(
            word=_("provocation test"),
            meaning=_(
                "A test that works, stretches or presses on what hurts, to see whether the familiar "
                "pain comes. None of them rules tennis elbow in or out."
            ),
            source=Source(
                "Zwerus et al. 2018 Br J Sports Med 52(19):1253–60, doi 10.1136/bjsports-2016-096712",
                Status.PUBLISHED,
                _(
                    "24 elbow tests, 14 of them with figures; none accurate enough to rule a condition "
                    "in or out"
                ),
            ),
        ),
        Word(
            word=_("palpation"),
            meaning=_(
                "The test of the battery that presses, on the origin of the extensors and on named "
                "points around it."
            ),
            unlike=(
                Unlike(_("resisted test"), _("works the muscle; the two are read side by side.")),
            ),
            source=Source(
                "Shiri 2006 Am J Epidemiol 164:1065–74, quoted",
                Status.SECOND_HAND,
                _(
                    "in that study tenderness made a case possible, pain on resisted wrist extension "
                    "definite"
                ),
            ),
        ),
        Word(
            word=_("finding"),
            meaning=_("The answer of one test on one side, and at one finger."),
        ),
        Word(
            word=_("familiar pain"),
            meaning=_(
                "The pain that the patient came with, at or just below the lateral epicondyle. Only "
                "this counts as positive."
            ),
            unlike=(
                Unlike(
                    _("other pain"),
                    _("sits elsewhere, or is of another kind: written down, and not counted."),
                ),
            ),
            source=Source("standard musculoskeletal practice", Status.FROM_MEMORY),
        ),
        Word(
            word=_("visit"),
            meaning=_(
                "One dated contact. It is a draft until it is signed; after that it changes by an "
                "addendum alone."
            ),
            unlike=(
                Unlike(_("session"), _("is done by the patient, between visits.")),
                Unlike(_("appointment"), _("is the time in the book.")),
            ),
        ),
        Word(
            word=_("signed"),
            meaning=_(
                "Said of a visit: closed by whoever saw the patient, with name, registration number "
                "and time."
            ),
            unlike=(Unlike(_("issued"), _("is said of a program.")),),
        ),
        Word(
            word=_("addendum"),
            meaning=_("What is added to a signed visit later, with its own date and name."),
        ),
    ),
)
