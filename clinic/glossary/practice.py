"""Words of the front desk and of the record."""

from clinic.evidence import Status
from clinic.glossary.word import Part, Source, Unlike, Word
from clinic.wording import gettext_noop as _

PRACTICE = Part(
    _("Coming back, and the record"),
    (
        Word(
            word=_("practitioner"),
            meaning=_(
                "Whoever sees patients and can be booked: a physiotherapist, or a manager who "
                "treats."
            ),
        ),
        Word(
            word=_("appointment"),
            meaning=_(
                "A time in the book for one patient with one practitioner: booked, arrived, seen, "
                "missed or cancelled."
            ),
            unit=_("minutes"),
            unlike=(Unlike(_("visit"), _("is what was done in it, and is signed.")),),
        ),
        Word(
            word=_("due date"),
            meaning=_(
                "When the physiotherapist wants the patient back. Who has one and no appointment "
                "stands on the list “Due”."
            ),
            unlike=(Unlike(_("appointment"), _("is booked.")),),
        ),
        Word(
            word=_("review"),
            meaning=_(
                "A visit that looks at the whole case again: because the last decision asked for "
                "it, or because a time to look again has come."
            ),
            unlike=(Unlike(_("follow-up"), _("is any other visit after the first.")),),
            source=Source(
                "NHS public text; Murtagh's General Practice; summary of NICE CKS 2020",
                Status.SECOND_HAND,
                _("6 weeks and 6 months; the 12 weeks between are common practice, no source"),
            ),
        ),
        Word(
            word=_("pack"),
            meaning=_("What one patient takes home on a day, in the order in which it is printed."),
        ),
        Word(
            word=_("restricted"),
            meaning=_(
                "Said of a record that the patient wants kept and not used. Opening it asks for a "
                "reason."
            ),
            unlike=(Unlike(_("on hold"), _("keeps a record from being erased.")),),
            source=Source("GDPR Art. 18", Status.FROM_MEMORY, _("local law comes first")),
        ),
        Word(
            word=_("on hold"),
            meaning=_(
                "Said of a record that must not be erased, whatever its time: for a claim or an "
                "inquiry."
            ),
            unlike=(Unlike(_("restricted"), _("keeps a record from being used.")),),
        ),
    ),
)
