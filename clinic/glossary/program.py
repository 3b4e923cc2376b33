"""Words of what the patient does, and of what is decided about it."""

from clinic.evidence import Status
from clinic.glossary.word import Part, Source, Unlike, Word
from clinic.wording import gettext_noop as _

PROGRAM = Part(
    _("The program"),
    (
        Word(
            word=_("irritability"),
            meaning=_(
                "How little brings the pain on, how bad it gets and how long it takes to settle: "
                "low, moderate or high. It says where the ladder begins."
            ),
            unlike=(Unlike(_("pain rating"), _("is one part of it.")),),
            source=Source(
                "Maitland; classes adapted from McClure & Michener 2015, Phys Ther 95:791–800 "
                "(shoulder)",
                Status.FROM_MEMORY,
                _("not validated for the elbow"),
            ),
        ),
        Word(
            word=_("stage"),
            meaning=_(
                "One of the five rungs of the loading ladder: isometric, light isotonic, slow "
                "resistance, heavy and fast, return to activity."
            ),
            unlike=(
                Unlike(_("week"), _("passes by itself; a stage ends when its criteria hold.")),
            ),
            source=Source(
                "built from Peterson 2011, Couppé 2022 and Myers 2016",
                Status.CONVENTION,
                _("no published program gates its stages this way"),
            ),
        ),
        Word(
            word=_("program"),
            meaning=_(
                "What the patient does now: exercises, each with its dose. It has a version, and "
                "does not change once it is issued."
            ),
            unlike=(Unlike(_("stage"), _("may see several programs.")),),
        ),
        Word(
            word=_("issued"),
            meaning=_(
                "Said of a program: given to the patient, in words that no longer change. It runs "
                "until the next is issued or it is withdrawn."
            ),
            unlike=(Unlike(_("signed"), _("is said of a visit.")),),
        ),
        Word(
            word=_("dose"),
            meaning=_(
                "Sets, repetitions or seconds held, load, tempo, rest, and sessions in a week."
            ),
        ),
        Word(
            word=_("load"),
            meaning=_("The weight in the hand."),
            unit=_("kg"),
            unlike=(Unlike(_("dose"), _("is all that an exercise asks for.")),),
        ),
        Word(
            word=_("repetition maximum"),
            meaning=_(
                "The load that can be lifted so many times and no more: 12 RM is what goes 12 times."
            ),
            unit=_("RM"),
            source=Source(
                "common practice",
                Status.CONVENTION,
                _("a true maximum is not tested at a sore elbow"),
            ),
        ),
        Word(
            word=_("session"),
            meaning=_("The exercises of the program done once."),
            unlike=(Unlike(_("visit"), _("is a contact with the clinic.")),),
        ),
        Word(
            word=_("diary day"),
            meaning=_(
                "What the patient wrote down for a day: sets and repetitions done, worst pain "
                "during them, pain next morning, woken at night."
            ),
        ),
        Word(
            word=_("session state"),
            meaning=_(
                "What the rules make of a diary day: settled, watch, too much, or unclassified "
                "where something is missing."
            ),
            unlike=(Unlike(_("decision"), _("is made from many sessions, and from measures.")),),
            source=Source(
                "summaries of Silbernagel et al. 2007, doi 10.1177/0363546506298279",
                Status.SECOND_HAND,
                _("the idea, at another tendon; the limits differ between sources"),
            ),
        ),
        Word(
            word=_("flare"),
            meaning=_(
                "Two mornings running clearly above the mean of the 7 before, or newly woken at "
                "night. A sign of too much too soon, not of damage."
            ),
            unlike=(Unlike(_("session state"), _("looks at one session and its next morning.")),),
            source=Source(
                "common practice",
                Status.CONVENTION,
                _("anchored on the measurement error of a pain rating"),
            ),
        ),
        Word(
            word=_("pain policy"),
            meaning=_(
                "How much pain during exercise still counts as settled: strict in stage 1 and where "
                "irritability is high, standard otherwise."
            ),
            unit=_("points, 0–10"),
            source=Source(
                "Karanasios trial register NCT05919914; Holmgren 2012, BMJ 344:e787 (shoulder)",
                Status.SECOND_HAND,
                _(
                    "registered elbow trials allow 2, the shoulder trial up to 5, older elbow programs "
                    "mild or moderate pain: sources disagree"
                ),
            ),
        ),
        Word(
            word=_("criterion"),
            meaning=_(
                "One condition of a decision: held, not held, or unknown where something is missing."
            ),
            unlike=(Unlike(_("threshold"), _("is the number in it.")),),
        ),
        Word(
            word=_("threshold"),
            meaning=_("A number that the rules go by, with its source. A clinic may set its own."),
        ),
        Word(
            word=_("decision"),
            meaning=_(
                "Move up, stay, step back, or stop and review. The rules propose it; the "
                "physiotherapist makes it."
            ),
            unlike=(Unlike(_("load step"), _("changes the load within a stage.")),),
        ),
        Word(
            word=_("load step"),
            meaning=_("What becomes of the load within a stage: add, keep or reduce."),
        ),
    ),
)
