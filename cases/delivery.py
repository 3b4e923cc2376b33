"""What a mail server's refusal means: for this patient or for everybody, for good or for now, and in words.

RFC 5321 (Klensin, 2008), 4.2.1 and 4.2.3: a reply that begins with 4 may pass, one with 5 stays.
RFC 3463 (Vaudreuil, 2003), 3: the second figure of an enhanced code says what it is about – 1 the address,
2 the mailbox, 7 policy.
"""

import re
import smtplib
from dataclasses import dataclass
from enum import StrEnum

from clinic.wording import gettext_noop

LONGEST_ANSWER = 300
ENHANCED = re.compile(r"\b[45]\.(\d{1,3})\.(\d{1,3})\b")
SENDERS_FAULT = (7, 8)  # RFC 3463, 3.2: X.1.7 and X.1.8 are about the sender's address
NO_SUCH_BOX = (550, 551, 553)  # RFC 5321, 4.2.3, in answer to a recipient


class Why(StrEnum):
    """Why an e-mail has not been sent, or was not needed any more."""

    ADDRESS = "address"
    FULL = "full"
    POLICY = "policy"
    MESSAGE = "message"
    LATER = "later"
    SENDER = "sender"
    SIGN_IN = "sign-in"
    UNREACHED = "unreached"
    UNMADE = "unmade"
    INTERRUPTED = "interrupted"
    REFUSED_BEFORE = "refused before"
    CAME_BACK = "came back"
    OVERTAKEN = "overtaken"
    TAKEN_BACK = "taken back"
    OVER = "over"


# fmt: off
SENTENCES = {
    Why.ADDRESS: gettext_noop("The mail server says that this address does not exist or is closed."),
    Why.FULL: gettext_noop("The patient's mailbox is full."),
    Why.POLICY: gettext_noop("The patient's mail server takes no mail from the clinic's."),
    Why.MESSAGE: gettext_noop("The mail server refused the message."),
    Why.LATER: gettext_noop("The mail server asks to try again later."),
    Why.SENDER: gettext_noop("The clinic's mail server does not send for the clinic's address."),
    Why.SIGN_IN: gettext_noop("The clinic's mail server did not let us sign in."),
    Why.UNREACHED: gettext_noop("The clinic's mail server could not be reached."),
    Why.UNMADE: gettext_noop("The message could not be put together."),
    Why.INTERRUPTED: gettext_noop("Sending was cut off. It may have gone out, or not."),
    Why.REFUSED_BEFORE: gettext_noop("The address let nothing in before."),
    Why.CAME_BACK: gettext_noop("It came back to the clinic."),
    Why.OVERTAKEN: gettext_noop("The appointment was changed again before this was sent."),
    Why.TAKEN_BACK: gettext_noop("The patient wants no e-mail any more."),
    Why.OVER: gettext_noop("The time for it was over."),
}
# fmt: on


@dataclass(frozen=True, kw_only=True)
class Failure:
    """One try that failed. `again`: it may work later; `everybody`: it would fail for any patient now."""

    why: Why
    again: bool
    everybody: bool = False
    answer: str = ""


def failure_of(error: Exception) -> Failure:
    """Return what an exception of `smtplib`, or of the connection under it, means for the e-mail."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        code, text = next(iter(error.recipients.values()))
        return _answered(code, text, recipient=True)
    if isinstance(error, smtplib.SMTPResponseException):
        return _responded(error)
    if isinstance(error, OSError):  # SMTPException is one too
        return Failure(why=Why.UNREACHED, again=True, everybody=True, answer=_plain(str(error)))
    return Failure(why=Why.UNMADE, again=False, answer=type(error).__name__)


def _responded(error: smtplib.SMTPResponseException) -> Failure:
    """The clinic's own server has answered: its greeting, our password, our address, or the text."""
    said = _plain(f"{error.smtp_code} {_text(error.smtp_error)}")
    if isinstance(error, smtplib.SMTPSenderRefused):
        return Failure(why=Why.SENDER, again=True, everybody=True, answer=said)
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return Failure(why=Why.SIGN_IN, again=True, everybody=True, answer=said)
    if isinstance(error, smtplib.SMTPDataError):
        return _answered(error.smtp_code, error.smtp_error, recipient=False)
    return Failure(why=Why.UNREACHED, again=True, everybody=True, answer=said)


def _answered(code: int, text: bytes | str, *, recipient: bool) -> Failure:
    said = _plain(f"{code} {_text(text)}")
    again = code < 500
    return Failure(why=_meaning(code, said, recipient=recipient), again=again, answer=said)


def _meaning(code: int, said: str, *, recipient: bool) -> Why:
    about, detail = _enhanced(said)
    if about == 7 or (about == 1 and detail in SENDERS_FAULT):
        return Why.POLICY
    if code == 552 or (about, detail) == (2, 2):
        return Why.FULL
    if code < 500:
        return Why.LATER
    if about in (1, 2) or (about is None and recipient and code in NO_SUCH_BOX):
        return Why.ADDRESS
    return Why.MESSAGE


def _enhanced(said: str) -> tuple[int | None, int | None]:
    found = ENHANCED.search(said)
    return (int(found[1]), int(found[2])) if found else (None, None)


def _text(given: bytes | str) -> str:
    return given.decode("utf-8", "replace") if isinstance(given, bytes) else given


def _plain(text: str) -> str:
    """One printable line, short enough to keep."""
    words = " ".join(text.split())
    return "".join(sign for sign in words if sign.isprintable())[:LONGEST_ANSWER]
