"""Which passwords will do. What is asked of them: OWASP ASVS 5.0, 6.2."""

import pytest
from django.contrib.auth import hashers
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from clinic import settings
from clinic.models import Clinic, Staff


@pytest.fixture
def staff():
    clinic = Clinic(name="Ropewalk Quay Physiotherapy", address="3 Ropewalk Quay\nSaltmere")
    return Staff(
        clinic=clinic,
        username="ines",
        first_name="Inês",
        last_name="Quartel",
        email="ines@ropewalk.example.org",
    )


def codes(password, staff):
    try:
        validate_password(password, staff)
    except ValidationError as refused:
        return [error.code for error in refused.error_list]
    return []


@pytest.mark.parametrize(
    "password",
    [
        "otter ladle vio",  # 15 characters, letters alone: no rule of composition (6.2.5)
        "correct horse battery staple",
        "719365028465193",
        "Ünïcödé pässwört ☂ fünf",
        "8~rT!q0)Zp[w]Vn",
        "the clinic stands by a blue violet gate",  # a known word among others
        "ines likes thunder over marmalade",
        "x7" * 10 + "otter",
        "otter ladle violet thunder " * 5,  # 135 characters; 64 must do (6.2.9)
        "q" * 5 + "0123456789" * 100,
    ],
)
def test_a_long_password_will_do_whatever_it_is_made_of(staff, password):
    assert codes(password, staff) == []


@pytest.mark.parametrize(
    ("password", "code"),
    [
        ("otter ladle vi", "password_too_short"),  # 14
        ("", "password_too_short"),
        ("1q2w3e4r5t6y7u8i", "password_too_common"),
        ("elbow clinic 2026", "known_words"),
        ("ElbowClinic2026!!", "known_words"),
        ("Tennis-Elbow-Tennis", "known_words"),
        ("3lb0w_Cl1n1c_2026", "known_words"),
        ("Inês Quartel 1984", "known_words"),
        ("ines.quartel.1984", "known_words"),
        ("RopewalkQuay#2026", "known_words"),
        ("physiotherapy saltmere", "known_words"),
        ("p@$$w0rd p@$$w0rd", "known_words"),
        ("aaaaaaaaaaaaaaaaaaaa", "repetition"),
        ("abcabcabcabcabcabc", "repetition"),
        ("otter1otter1otter1", "repetition"),
    ],
)
def test_a_password_that_is_guessed_first_will_not(staff, password, code):
    assert code in codes(password, staff)


def test_the_words_that_are_too_well_known_are_named(staff):
    with pytest.raises(ValidationError) as refused:
        validate_password("Saltmere elbow 26", staff)

    (sentence,) = refused.value.messages
    assert sentence.startswith("Everybody here would try “saltmere elbow”")


def test_the_rules_hold_without_a_person_too():
    assert codes("elbow clinic 2026", None) == ["known_words"]
    assert codes("otter ladle violet", None) == []


# RFC 9106 is the argon2 of the hashers; ASVS 5.0, appendix C: argon2id with at least 46 MiB at t=1, p=1.
def test_passwords_are_kept_with_argon2id():
    parameters = hashers.Argon2PasswordHasher().params()

    # Tests use a faster one; this is what the settings name.
    assert settings.PASSWORD_HASHERS[0] == "django.contrib.auth.hashers.Argon2PasswordHasher"
    assert (parameters.type.name, parameters.memory_cost >= 46 * 1024) == ("ID", True)


def test_no_part_of_a_long_password_is_cut_off():
    """ASVS 6.2.8; the last of 300 characters counts."""
    hasher = hashers.Argon2PasswordHasher()
    encoded = hasher.encode("o" * 299 + "k", "salt" * 4)

    assert hasher.verify("o" * 299 + "k", encoded)
    assert not hasher.verify("o" * 300, encoded)
