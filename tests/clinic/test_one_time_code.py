"""Codes of an authenticator app, against the published values."""

import datetime

import pytest

from clinic.one_time_code import (
    address_for_app,
    code_at,
    new_secret,
    spelled_out,
    step_at,
    step_of,
)

# RFC 6238, appendix B, the rows of SHA-1: seconds since 1970 and the code of eight digits. A code of six is
# the end of it: both are the same number, of which that many digits are kept (RFC 4226, 5.3).
SECRET = b"12345678901234567890"
PUBLISHED = [
    (59, "94287082"),
    (1111111109, "07081804"),
    (1111111111, "14050471"),
    (1234567890, "89005924"),
    (2000000000, "69279037"),
    (20000000000, "65353130"),
]
# RFC 4226, appendix D: the codes of six digits of the counters 0 to 9.
COUNTED = [
    "755224",
    "287082",
    "359152",
    "969429",
    "338314",
    "254676",
    "287922",
    "162583",
    "399871",
    "520489",
]


def moment(seconds):
    return datetime.datetime.fromtimestamp(seconds, datetime.UTC)


@pytest.mark.parametrize(("seconds", "code"), PUBLISHED)
def test_the_published_codes_are_taken(seconds, code):
    now = moment(seconds)

    assert code_at(SECRET, step_at(now)) == code[-6:]
    assert step_of(SECRET, code[-6:], now=now, after=0) == seconds // 30


@pytest.mark.parametrize(("counter", "code"), list(enumerate(COUNTED)))
def test_the_published_codes_of_the_counter_are_made(counter, code):
    assert code_at(SECRET, counter) == code


@pytest.mark.parametrize(
    ("off", "taken"), [(-60, False), (-30, True), (0, True), (30, True), (60, False)]
)
def test_a_clock_may_be_off_by_one_step_each_way(off, taken):
    now = moment(1234567890)
    code = code_at(SECRET, step_at(now + datetime.timedelta(seconds=off)))

    assert (step_of(SECRET, code, now=now, after=0) is not None) is taken


def test_a_code_and_those_before_it_are_taken_once():
    now = moment(1234567890)
    step = step_at(now)

    assert step_of(SECRET, code_at(SECRET, step), now=now, after=step) is None
    assert step_of(SECRET, code_at(SECRET, step - 1), now=now, after=step) is None
    assert step_of(SECRET, code_at(SECRET, step + 1), now=now, after=step) == step + 1


@pytest.mark.parametrize("typed", ["", "12345", "1234567", "abcdef", "²³¹²³¹"])
def test_what_is_no_code_is_not_taken(typed):
    assert step_of(SECRET, typed, now=moment(59), after=0) is None


# RFC 4648, 6 (base 32); the value is that of the key above.
def test_the_secret_is_spelled_out_in_groups():
    assert spelled_out(SECRET) == "GEZD GNBV GY3T QOJQ GEZD GNBV GY3T QOJQ"


def test_secrets_are_of_160_bits_and_never_the_same():
    made = {new_secret() for _secret in range(50)}

    assert (len(made), {len(secret) for secret in made}) == (50, {20})


def test_the_address_names_the_clinic_and_the_person():
    address = address_for_app(SECRET, name="ines", clinic="Quay & Slip")

    assert address.startswith("otpauth://totp/Quay%20%26%20Slip:ines?")
    assert "secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ" in address
    assert "digits=6" in address
    assert "period=30" in address
