"""The appointment card: when the patient comes, to whom, and how to reach the clinic.

It stands at the top of the sheet that the printer holds, and the rest is cut or folded away. A card of A6
would need a paper tray of its own at the front desk, and six appointments in large print don't fit on one.
"""

from dataclasses import dataclass

from django.utils import translation
from django.utils.translation import gettext, ngettext
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer, Table, TableStyle

from clinic.templatetags.clinic_tags import clock

from .home_program import NextVisit
from .paper import Paper, Running, Sheet, Styles, pdf, room, styles
from .pieces import BARE, RULE, beside, fits_beside, markup, name, para, unbroken
from .scan_code import ScanCode

MOST_APPOINTMENTS = 6


@dataclass(frozen=True, kw_only=True)
class AppointmentCard(Sheet):
    """Everything the card says: at most six appointments, the earliest first; `more` are booked or not."""

    language: str
    appointments: tuple[NextVisit, ...]
    more: bool = False

    def __post_init__(self) -> None:
        if len(self.appointments) > MOST_APPOINTMENTS:
            raise ValueError(f"a card has at most {MOST_APPOINTMENTS} appointments")


def appointment_card_pdf(card: AppointmentCard, paper: Paper) -> bytes:
    """Set the card in the patient's language. Raises CannotPrint for a sign the type lacks."""
    with translation.override(card.language):
        running = Running.of(card, gettext("Appointments"))
        height = room(running, paper)
        return pdf(appointment_card_story(card, paper, height), running, paper)


def appointment_card_story(card: AppointmentCard, paper: Paper, height: float) -> list[Flowable]:
    """Return the card as flowables; `height` is what a page has room for, in points."""
    look = styles(paper.body)
    main = [name(card.patient, look), Spacer(1, paper.scaled(6)), _lead(card, look)]
    if card.appointments:
        main.append(_table(card, look, paper))
    if card.more:
        words = gettext("More are booked after these. Ask us for them.")
        main += [Spacer(1, paper.scaled(6)), para(words, look.body)]
    notes = _notes(card, look, paper)
    if fits_beside(main, notes, paper, height):
        return beside(main, notes, paper)
    return [*main, Spacer(1, paper.scaled(8)), KeepTogether(notes)]


def _lead(card: AppointmentCard, look: Styles) -> Paragraph:
    count = len(card.appointments)
    if not count:
        words = gettext("No appointment is booked. Please call <b>%(phone)s</b>.") % {
            "phone": markup(unbroken(card.clinic.phone))
        }
        return Paragraph(words, look.lead)
    words = ngettext(
        "Your next <b>appointment</b>.", "Your next <b>%(count)s appointments</b>.", count
    ) % {"count": count}
    return Paragraph(words, look.lead)


def _table(card: AppointmentCard, look: Styles, paper: Paper) -> Table:
    head = [gettext("Day"), gettext("Time"), gettext("With")]
    rows = [[para(word, look.note_head) for word in head]]
    rows += [_row(visit, look) for visit in card.appointments]
    date, time = paper.scaled(53 * mm), paper.scaled(17 * mm)
    pad = paper.scaled(3.5)
    lines = [
        ("LINEABOVE", (0, 1), (-1, -1), 0.6, RULE),
        ("TOPPADDING", (0, 0), (-1, -1), pad),
        ("BOTTOMPADDING", (0, 0), (-1, -1), pad),
    ]
    return Table(
        rows,
        colWidths=[date, time, paper.column - date - time],
        style=TableStyle([*BARE, *lines]),
        repeatRows=1,
        hAlign="LEFT",
    )


def _row(visit: NextVisit, look: Styles) -> list[Paragraph]:
    return [
        para(visit.day, look.cell),
        Paragraph(f"<b>{clock(visit.at)}</b>", look.cell),
        para(visit.practitioner, look.cell),
    ]


def _notes(card: AppointmentCard, look: Styles, paper: Paper) -> list[Flowable]:
    contact = _contact(card, look)
    entry = card.appointments[0].entry if card.appointments else b""
    if not entry:
        return contact
    code = ScanCode(entry)
    words = para(gettext("Scan to put the first one in your calendar"), look.note_head)
    if paper.margin:
        return [*contact, code, words]
    both = Table(
        [[[*contact, words], code]],
        colWidths=[paper.column - code.side, code.side],
        style=TableStyle(BARE),
        hAlign="LEFT",
    )
    return [both]


def _contact(card: AppointmentCard, look: Styles) -> list[Flowable]:
    """Up here too, since the foot of the sheet may be cut away."""
    call = gettext("Call us on %(phone)s.") % {"phone": unbroken(card.clinic.phone)}
    return [
        para(gettext("To change an appointment"), look.note_head),
        para(call, look.note),
        para(card.clinic.name, look.note_head),
        para(card.clinic.address, look.note),
    ]
