"""What a mail server's answer means, checked against the codes of RFC 5321, 4.2.3, and RFC 3463, 3."""

import smtplib
import socket
import ssl

import pytest

from cases.delivery import SENTENCES, Why, failure_of

TO = "marit@example.org"


def refused(code, text):
    return smtplib.SMTPRecipientsRefused({TO: (code, text.encode())})


def data(code, text):
    return smtplib.SMTPDataError(code, text.encode())


def short(failure):
    return failure.why, failure.again, failure.everybody


# Replies as the two standards define them; the words after the codes are free.
@pytest.mark.parametrize(
    ("error", "expected"),
    [
        (refused(550, "5.1.1 no such user"), (Why.ADDRESS, False, False)),
        (refused(550, "mailbox unavailable"), (Why.ADDRESS, False, False)),
        (refused(551, "user not local"), (Why.ADDRESS, False, False)),
        (refused(553, "mailbox name not allowed"), (Why.ADDRESS, False, False)),
        (refused(550, "5.2.1 mailbox disabled"), (Why.ADDRESS, False, False)),
        (refused(554, "5.1.2 bad destination system"), (Why.ADDRESS, False, False)),
        (refused(552, "5.2.2 mailbox full"), (Why.FULL, False, False)),
        (refused(452, "4.2.2 mailbox full"), (Why.FULL, True, False)),
        (refused(550, "5.7.1 delivery not authorized"), (Why.POLICY, False, False)),
        (refused(553, "5.1.8 bad sender's system"), (Why.POLICY, False, False)),
        (refused(450, "mailbox busy"), (Why.LATER, True, False)),
        (refused(451, "4.7.1 come back later"), (Why.POLICY, True, False)),
        (refused(421, "closing"), (Why.LATER, True, False)),
        (refused(554, "no"), (Why.MESSAGE, False, False)),
        (data(550, "5.1.1 no such user"), (Why.ADDRESS, False, False)),
        (data(550, "no"), (Why.MESSAGE, False, False)),
        (data(554, "5.6.0 media error"), (Why.MESSAGE, False, False)),
        (data(451, "local error"), (Why.LATER, True, False)),
        (smtplib.SMTPSenderRefused(550, b"not you", "desk@example.org"), (Why.SENDER, True, True)),
        (smtplib.SMTPAuthenticationError(535, b"5.7.8 bad password"), (Why.SIGN_IN, True, True)),
        (smtplib.SMTPConnectError(421, b"busy"), (Why.UNREACHED, True, True)),
        (smtplib.SMTPHeloError(504, b"who?"), (Why.UNREACHED, True, True)),
        (smtplib.SMTPServerDisconnected("gone"), (Why.UNREACHED, True, True)),
        (smtplib.SMTPNotSupportedError("no STARTTLS"), (Why.UNREACHED, True, True)),
        (ConnectionRefusedError(111, "refused"), (Why.UNREACHED, True, True)),
        (TimeoutError("timed out"), (Why.UNREACHED, True, True)),
        (socket.gaierror(-2, "unknown"), (Why.UNREACHED, True, True)),
        (ssl.SSLCertVerificationError(1, "certificate"), (Why.UNREACHED, True, True)),
        (KeyError("grip"), (Why.UNMADE, False, False)),
    ],
)
def test_an_answer_means(error, expected):
    assert short(failure_of(error)) == expected


def test_the_server_s_words_are_kept_on_one_line_and_short():
    failure = failure_of(refused(550, "5.1.1 no\r\n\x1b[31m such " + "user " * 100))

    assert failure.answer.startswith("550 5.1.1 no [31m such user user")
    assert len(failure.answer) == 300


def test_words_in_another_encoding_do_no_harm():
    failure = failure_of(
        smtplib.SMTPRecipientsRefused({TO: (550, b"5.1.1 unbekannter Empf\xe4nger")})
    )

    assert failure.answer == "550 5.1.1 unbekannter Empf�nger"


def test_what_is_our_own_fault_does_not_quote_the_text_that_was_being_made():
    assert failure_of(KeyError("grip")).answer == "KeyError"


def test_each_reason_has_its_sentence():
    assert list(SENTENCES) == list(Why)
