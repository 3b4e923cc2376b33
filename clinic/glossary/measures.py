"""Words of what is measured."""

from clinic.evidence import Status
from clinic.glossary.word import Part, Source, Unlike, Word
from clinic.wording import gettext_noop as _

_POINTS = _("points, 0–10")
_NEWTONS = _("newtons (N)")
_LIM = "Lim 2013 J Physiother 59:59, abstract"

MEASURES = Part(
    _("The measures"),
    (
        Word(
            word=_("pain rating"),
            meaning=_(
                "A whole number from 0 to 10, always with what it is about: at rest, worst in 24 h, "
                "on gripping, during exercise, next morning. Two ratings compare only where that is "
                "the same."
            ),
            unit=_POINTS,
        ),
        Word(
            word=_("pain during exercise"),
            meaning=_("The worst pain while the exercises are done."),
            unit=_POINTS,
            unlike=(Unlike(_("pain next morning"), _("shows whether it has settled.")),),
        ),
        Word(
            word=_("pain next morning"),
            meaning=_(
                "The pain of the morning after; the diary keeps it with the day before. It is "
                "compared with the mean of the last mornings."
            ),
            unit=_POINTS,
            unlike=(
                Unlike(_("morning stiffness"), _("is a time and no pain.")),
                Unlike(_("pain at night"), _("is asked at the intake, yes or no.")),
            ),
        ),
        Word(
            word=_("woken at night"),
            meaning=_(
                "How often the elbow woke the patient in the night after the exercises; in the "
                "intake, on how many nights of a week."
            ),
            unit=_("times a night; nights a week"),
            unlike=(Unlike(_("pain at night"), _("may be there and wake nobody.")),),
        ),
        Word(
            word=_("pain at night"),
            meaning=_("Whether the elbow hurts at night, as told at the intake."),
            unlike=(Unlike(_("woken at night"), _("is counted.")),),
        ),
        Word(
            word=_("morning stiffness"),
            meaning=_("How long the elbow is stiff in the morning, as told at the intake."),
            unit=_("minutes"),
            source=Source(
                "usual practice",
                Status.FROM_MEMORY,
                _("over 30 minutes: ask about inflamed joints"),
            ),
        ),
        Word(
            word=_("grip test"),
            meaning=_(
                "Up to three trials, and more where they scatter, on one side in one position with "
                "one effort: pain-free or maximal."
            ),
            unit=_("newtons (N); typed in the unit of the dynamometer"),
            source=Source(
                "1 kg on the dial is 9.80665 N, 1 lb is 0.45359237 kg",
                Status.PUBLISHED,
                _("exact by definition"),
            ),
        ),
        Word(
            word=_("pain-free grip"),
            meaning=_(
                "The force at the first pain at the elbow. Where no pain comes, it is the maximal "
                "grip."
            ),
            unit=_NEWTONS,
            unlike=(Unlike(_("maximal grip"), _("goes on past the first pain.")),),
            source=Source(_LIM, Status.SECOND_HAND),
        ),
        Word(
            word=_("maximal grip"),
            meaning=_(
                "As hard as the hand can squeeze. Only this is set beside the tables of other "
                "people's grip."
            ),
            unit=_NEWTONS,
            unlike=(Unlike(_("pain-free grip"), _("ends at the first pain.")),),
        ),
        Word(
            word=_("grip ratio"),
            meaning=_(
                "The affected side divided by the other one, in the same position with the same "
                "effort. A value adjusted for handedness stands beside it."
            ),
            unit=_("none, or % of the other side"),
            source=Source(
                "Petersen et al. 1989 Am J Occup Ther 43:444–7, doi 10.5014/ajot.43.7.444; n = 310",
                Status.PUBLISHED,
                _("right-handers are stronger in the right hand, left-handers are alike in both"),
            ),
        ),
        Word(
            word=_("questionnaire"),
            meaning=_(
                "A scored set of questions, answered by number from the clinic's own form. Its "
                "wording is not kept here."
            ),
            unlike=(Unlike(_("screening"), _("is asked by the clinician and has no score.")),),
        ),
        Word(
            word=_("PRTEE"),
            meaning=_(
                "The questionnaire used here, Patient-Rated Tennis Elbow Evaluation: 15 items, from "
                "pain and function. 0 is best."
            ),
            unit=_("points, 0–100"),
        ),
        Word(
            word=_("measurement error"),
            meaning=_(
                "How far a value may differ although nothing has changed. A change within it is not "
                "called one."
            ),
            unit=_("that of the measure"),
            unlike=(Unlike(_("important change"), _("is what mattered to patients.")),),
            source=Source(
                "Weir 2005 J Strength Cond Res 19:231–40, doi 10.1519/15184.1",
                Status.PUBLISHED,
                _("least detectable change: 1.96 × √2 × standard error of measurement, at 95 %"),
            ),
        ),
        Word(
            word=_("important change"),
            meaning=_(
                "How large a change was that mattered to the patients of a study. Published figures "
                "differ up to fourfold, so each is shown by name."
            ),
            unit=_("that of the measure, or %"),
            unlike=(
                Unlike(_("measurement error"), _("is what a value differs by without a change.")),
            ),
        ),
    ),
)
