"""The practice: the clinic, its staff, its hours, and the trail of who did what."""

from clinic.models.account_news import AccountNews
from clinic.models.audit import AuditEvent
from clinic.models.backup import BackupRun
from clinic.models.change import Change, Link
from clinic.models.clinic import Clinic, ClinicOwned, ClinicQuerySet
from clinic.models.erasure import Erasure
from clinic.models.held_form import HeldForm
from clinic.models.hours import Absence, ClosedDay, OpeningHours
from clinic.models.invitation import Invitation
from clinic.models.logo import Logo
from clinic.models.reset_request import ResetRequest
from clinic.models.revision import BookRevision
from clinic.models.second_factor import RecoveryCode, SecondFactor
from clinic.models.session import OpenSession
from clinic.models.sign_in import SignIn
from clinic.models.staff import Staff

__all__ = [
    "Absence",
    "AccountNews",
    "AuditEvent",
    "BackupRun",
    "BookRevision",
    "Change",
    "Clinic",
    "ClinicOwned",
    "ClinicQuerySet",
    "ClosedDay",
    "Erasure",
    "HeldForm",
    "Invitation",
    "Link",
    "Logo",
    "OpenSession",
    "OpeningHours",
    "RecoveryCode",
    "ResetRequest",
    "SecondFactor",
    "SignIn",
    "Staff",
]
