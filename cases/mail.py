"""An e-mail about an appointment, put together in the patient's language and the clinic's time."""

import uuid
import zoneinfo
from collections.abc import Sequence
from email.mime.text import MIMEText

from django.conf import settings
from django.core.mail import EmailMessage
from django.utils import timezone, translation
from django.utils.formats import date_format

from cases.invitation import identifier, method_of, place_of, sent_invitation, sent_series
from cases.mail_words import Occasion, filled
from cases.models import Appointment, MailText, Notice
from cases.models.mail_text import Words
from cases.models.notice import LONGEST_FILLED_SUBJECT
from clinic.outgoing_mail import from_clinic
from clinic.templatetags.clinic_tags import clock, written

FILE_NAME = "appointment.ics"


def letter_about(appointments: Sequence[Appointment], words: Words) -> Words:
    """Return the words with their places filled: when, where and with whom, nothing else of the patient."""
    values = values_of(appointments)
    subject = " ".join(filled(words.subject, values).split())
    return Words(subject[:LONGEST_FILLED_SUBJECT], filled(words.body, values))


def values_of(appointments: Sequence[Appointment]) -> dict[str, str]:
    """What the places of an e-mail's text may be filled with; the first is the one, where one is meant."""
    appointment = appointments[0]
    clinic, zone = appointment.clinic, zoneinfo.ZoneInfo(appointment.clinic.time_zone)
    with translation.override(appointment.patient.language), timezone.override(zone):
        times = [(_day(one), clock(one.starts_at)) for one in appointments]
        return {
            "patient": appointment.patient.given_name,
            "day": times[0][0],
            "time": times[0][1],
            "number": str(len(times)),
            "visits": "\n".join(", ".join(time) for time in times),
            "minutes": str(appointment.minutes),
            "practitioner": str(appointment.practitioner),
            "clinic": clinic.name,
            "address": place_of(appointment),
            "phone": clinic.phone,
        }


def _day(appointment: Appointment) -> str:
    day = timezone.localdate(appointment.starts_at)
    return f"{date_format(day, 'l')}, {written(day)}"


def letter_of(notice: Notice) -> Words:
    """Return what a notice says: what was sent, or what would be sent now."""
    if notice.body:
        return Words(notice.subject, notice.body)
    language = notice.appointment.patient.language
    words = MailText.objects.words(notice.clinic_id, occasion_said(notice), language)
    return letter_about([one.appointment for one in notice.together], words)


def occasion_said(notice: Notice) -> Occasion:
    """What the words are about: what is left of a series may be one appointment."""
    occasion = Occasion(notice.occasion)
    alone = occasion is Occasion.SERIES and len(notice.together) == 1
    return Occasion.BOOKED if alone else occasion


def message_of(notice: Notice, letter: Words) -> EmailMessage:
    """Return the e-mail, the same at every try: who gets it twice can tell it by its Message-ID."""
    patient = notice.appointment.patient
    message = from_clinic(
        notice.appointment.clinic,
        to=patient.email,
        subject=letter.subject,
        body=letter.body,
        Message_ID=message_id(notice),
        Content_Language=patient.language,
    )
    message.attach(calendar_part(notice))
    return message


def message_id(notice: Notice) -> str:
    """The same at each try, and short: a long header would be folded before its first sign."""
    said = "+".join(str(identifier(one.appointment)) for one in notice.together[1:])
    about = f"{notice.occasion}/{notice.sequence}{said}"
    which = uuid.uuid5(identifier(notice.appointment), about)
    return f"<{which.hex}@{settings.DEFAULT_FROM_EMAIL.rpartition('@')[2]}>"


def calendar_part(notice: Notice) -> MIMEText:
    """The entry for the calendar; RFC 6047, 2.4: its type names the method too."""
    appointments = [one.appointment for one in notice.together]
    told = {"now": notice.written_at, "sender": settings.DEFAULT_FROM_EMAIL}
    if len(appointments) > 1:
        entry, method = sent_series(appointments, **told), "PUBLISH"
    else:
        to, method = appointments[0].patient.email, method_of(appointments[0])
        entry = sent_invitation(appointments[0], **told, to=to)
    part = MIMEText(entry.decode(), "calendar", "utf-8")
    part.set_param("method", method)
    part.set_param("component", "VEVENT")
    part.add_header("Content-Disposition", "attachment", filename=FILE_NAME)
    return part
