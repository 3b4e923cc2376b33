"""An e-mail about an appointment, put together in the patient's language and the clinic's time."""

import uuid
import zoneinfo
from email.mime.text import MIMEText
from email.utils import formataddr

from django.conf import settings
from django.core.mail import EmailMessage
from django.utils import timezone, translation
from django.utils.formats import date_format

from cases.invitation import identifier, method_of, place_of, sent_invitation
from cases.mail_words import Occasion, filled
from cases.models import Appointment, MailText, Notice
from cases.models.mail_text import Words
from cases.models.notice import LONGEST_FILLED_SUBJECT
from clinic.templatetags.clinic_tags import clock, written

FILE_NAME = "appointment.ics"


def letter_about(appointment: Appointment, words: Words) -> Words:
    """Return the words with their places filled: when, where and with whom, nothing else of the patient."""
    values = values_of(appointment)
    subject = " ".join(filled(words.subject, values).split())
    return Words(subject[:LONGEST_FILLED_SUBJECT], filled(words.body, values))


def values_of(appointment: Appointment) -> dict[str, str]:
    """What the places of an e-mail's text may be filled with."""
    clinic, zone = appointment.clinic, zoneinfo.ZoneInfo(appointment.clinic.time_zone)
    with translation.override(appointment.patient.language), timezone.override(zone):
        day = timezone.localdate(appointment.starts_at)
        return {
            "patient": appointment.patient.given_name,
            "day": f"{date_format(day, 'l')}, {written(day)}",
            "time": clock(appointment.starts_at),
            "minutes": str(appointment.minutes),
            "practitioner": str(appointment.practitioner),
            "clinic": clinic.name,
            "address": place_of(appointment),
            "phone": clinic.phone,
        }


def letter_of(notice: Notice) -> Words:
    """Return what a notice says: what was sent, or what would be sent now."""
    if notice.body:
        return Words(notice.subject, notice.body)
    appointment = notice.appointment
    language = appointment.patient.language
    words = MailText.objects.words(notice.clinic_id, Occasion(notice.occasion), language)
    return letter_about(appointment, words)


def message_of(notice: Notice, letter: Words) -> EmailMessage:
    """Return the e-mail, the same at every try: who gets it twice can tell it by its Message-ID.

    Auto-Submitted keeps automatic answers away (RFC 3834, 5).
    """
    appointment, clinic = notice.appointment, notice.appointment.clinic
    message = EmailMessage(
        subject=letter.subject,
        body=letter.body,
        from_email=formataddr((" ".join(clinic.name.split()), settings.DEFAULT_FROM_EMAIL)),
        to=[appointment.patient.email],
        reply_to=[clinic.email] if clinic.email else None,
        headers={
            "Message-ID": message_id(notice),
            "Auto-Submitted": "auto-generated",
            "Content-Language": appointment.patient.language,
        },
    )
    message.attach(calendar_part(notice))
    return message


def message_id(notice: Notice) -> str:
    """The same at each try, and short: a long header would be folded before its first sign."""
    which = uuid.uuid5(identifier(notice.appointment), f"{notice.occasion}/{notice.sequence}")
    return f"<{which.hex}@{settings.DEFAULT_FROM_EMAIL.rpartition('@')[2]}>"


def calendar_part(notice: Notice) -> MIMEText:
    """The entry for the calendar; RFC 6047, 2.4: its type names the method too."""
    appointment = notice.appointment
    entry = sent_invitation(
        appointment,
        now=notice.written_at,
        sender=settings.DEFAULT_FROM_EMAIL,
        to=appointment.patient.email,
    )
    part = MIMEText(entry.decode(), "calendar", "utf-8")
    part.set_param("method", method_of(appointment))
    part.set_param("component", "VEVENT")
    part.add_header("Content-Disposition", "attachment", filename=FILE_NAME)
    return part
