"""Who is seen and why, what was found, and when they come."""

from cases.models.appointment import Appointment
from cases.models.appointment_query import SlotTaken
from cases.models.battery import Battery, Finding, PalpationPoint
from cases.models.calendar_key import CalendarKey
from cases.models.case import Case
from cases.models.contact import Contact
from cases.models.correction import CorrectionRequest
from cases.models.display_key import DisplayKey
from cases.models.erasure_refusal import ErasureRefusal
from cases.models.hold import Hold
from cases.models.imports import BroughtInAlready, Import, ImportRow
from cases.models.intake import Activity, Injection, Intake
from cases.models.mail_text import MailText
from cases.models.notice import Notice
from cases.models.patient import Patient
from cases.models.restriction import Restriction
from cases.models.screening import Screening, ScreeningAnswer, ScreeningSign
from cases.models.visit import Addendum, Visit
from cases.models.wrist import WristAngle

__all__ = [
    "Activity",
    "Addendum",
    "Appointment",
    "Battery",
    "BroughtInAlready",
    "CalendarKey",
    "Case",
    "Contact",
    "CorrectionRequest",
    "DisplayKey",
    "ErasureRefusal",
    "Finding",
    "Hold",
    "Import",
    "ImportRow",
    "Injection",
    "Intake",
    "MailText",
    "Notice",
    "PalpationPoint",
    "Patient",
    "Restriction",
    "Screening",
    "ScreeningAnswer",
    "ScreeningSign",
    "SlotTaken",
    "Visit",
    "WristAngle",
]
