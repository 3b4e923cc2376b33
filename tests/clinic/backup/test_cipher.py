"""The encrypted file: opened by its written layout alone, and refused wherever it was touched."""

import hashlib
import hmac
import io

import pytest
from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes

from clinic.backup.cipher import CHUNK, HEAD, TAG, Deciphering, Enciphering, read_key
from clinic.backup.refusal import Refused

KEY = bytes(range(32))
TEXT = bytes(range(256)) * (CHUNK // 256) * 2 + b"the rest"  # two chunks and a short one


def enciphered(text=TEXT, key=KEY) -> bytes:
    sink = io.BytesIO()
    file = Enciphering(sink, key)
    for start in range(0, len(text), 700_001):
        file.write(text[start : start + 700_001])
    file.finish()
    return sink.getvalue()


def deciphered(data: bytes, key=KEY) -> bytes:
    return Deciphering(io.BytesIO(data), key).readall()


def chunks(data: bytes) -> list[bytes]:
    return [data[at : at + CHUNK + TAG] for at in range(HEAD, len(data), CHUNK + TAG)]


def hkdf(key: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    """RFC 5869, sections 2.2 and 2.3, with the standard library's HMAC."""
    pseudo_random = hmac.digest(salt, key, "sha256")
    out = block = b""
    for number in range(1, -(-length // 32) + 1):
        block = hmac.digest(pseudo_random, block + info + bytes([number]), "sha256")
        out += block
    return out[:length]


def test_our_reading_of_rfc_5869_gives_its_first_test_case():
    made = hkdf(b"\x0b" * 22, bytes(range(13)), bytes(range(0xF0, 0xFA)), 42)

    assert made.hex() == (  # RFC 5869, appendix A.1
        "3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865"
    )


def test_the_layout_in_the_docstring_is_enough_to_open_a_file():
    data = enciphered()
    head, salt = data[:HEAD], data[16:32]
    made = hkdf(KEY, salt, b"clinic-backup-1\n", 48)
    text, parts = b"", chunks(data)
    for number, part in enumerate(parts):
        nonce = number.to_bytes(11, "big") + bytes([number == len(parts) - 1])
        gcm = Cipher(algorithms.AES(made[:32]), modes.GCM(nonce, part[-TAG:])).decryptor()
        gcm.authenticate_additional_data(head)
        text += gcm.update(part[:-TAG]) + gcm.finalize()

    assert (data[:16], data[32:48]) == (b"clinic-backup-1\n", made[32:])
    assert hashlib.sha256(text).digest() == hashlib.sha256(TEXT).digest()


@pytest.mark.parametrize("size", [0, 1, CHUNK - 1, CHUNK, CHUNK + 1, 2 * CHUNK])
def test_what_was_written_is_read(size):
    assert deciphered(enciphered(TEXT[:size])) == TEXT[:size]


def test_the_same_content_never_gives_the_same_file_twice():
    assert enciphered()[HEAD:] != enciphered()[HEAD:]


def head_and(order) -> bytes:
    data = enciphered()
    parts = chunks(data)
    return data[:HEAD] + b"".join(parts[number] for number in order)


@pytest.mark.parametrize(
    "order",
    [[0, 1], [0], [], [1, 0, 2], [0, 2], [1, 2], [0, 1, 1, 2], [0, 1, 2, 2], [2], [0, 1, 2, 0]],
)
def test_chunks_that_are_missing_doubled_or_in_another_order_are_refused(order):
    with pytest.raises(Refused, match="cut short or changed"):
        deciphered(head_and(order))


@pytest.mark.parametrize("length", [0, 10, HEAD - 1, HEAD, HEAD + 1, HEAD + CHUNK, -1, -TAG - 3])
def test_a_file_that_ends_early_is_refused(length):
    with pytest.raises(Refused, match="cut short or changed"):
        deciphered(enciphered()[:length])


@pytest.mark.parametrize("at", [HEAD, HEAD + CHUNK - 1, HEAD + CHUNK, HEAD + CHUNK + TAG, -1])
def test_one_changed_bit_is_refused(at):
    data = bytearray(enciphered())
    data[at] ^= 1

    with pytest.raises(Refused, match="cut short or changed"):
        deciphered(bytes(data))


def test_something_added_behind_is_refused():
    with pytest.raises(Refused, match="cut short or changed"):
        deciphered(enciphered() + b"\0")


@pytest.mark.parametrize("at", [16, 31, 32, 47])
def test_another_key_and_a_changed_head_are_told_from_a_damaged_chunk(at):
    data = bytearray(enciphered())
    data[at] ^= 1

    for touched, key in ((bytes(data), KEY), (enciphered(), bytes(32))):
        with pytest.raises(Refused, match="not the key"):
            deciphered(touched, key)


def key_file(tmp_path, text: str, mode=0o600):
    file = tmp_path / "key"
    file.write_text(text)
    file.chmod(mode)
    return file


def test_a_key_is_64_hexadecimal_figures(tmp_path):
    assert read_key(key_file(tmp_path, f"{KEY.hex()}\n")) == KEY


@pytest.mark.parametrize(
    ("text", "mode", "said"),
    [
        (KEY.hex()[:-1], 0o600, "64 hexadecimal figures"),
        (KEY.hex() + "00", 0o600, "64 hexadecimal figures"),
        ("correct horse battery staple", 0o600, "64 hexadecimal figures"),
        ("ø" * 64, 0o600, "64 hexadecimal figures"),
        (KEY.hex(), 0o640, "Others may read the key. Say: chmod 600"),
        (KEY.hex(), 0o604, "Others may read the key. Say: chmod 600"),
    ],
)
def test_what_is_no_key_or_no_secret_is_refused(tmp_path, text, mode, said):
    with pytest.raises(Refused, match=said):
        read_key(key_file(tmp_path, text, mode))


def test_a_key_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(Refused, match=r"The key can't be read: .*key is not there\."):
        read_key(tmp_path / "key")
