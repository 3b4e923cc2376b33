"""Codes of an authenticator app: RFC 6238 (TOTP), as every such app reckons them when told nothing else."""

import base64
import datetime
import secrets

from cryptography.hazmat.primitives import constant_time
from cryptography.hazmat.primitives.hashes import SHA1
from cryptography.hazmat.primitives.twofactor.totp import TOTP

STEP_S, DIGITS = 30, 6  # RFC 6238, 4.1 and 5.2: the default, and what is recommended
# One step each way for a clock that is off and for the time of typing: RFC 6238, 5.2 allows at most one back.
DRIFT = 1
SECRET_OCTETS = 20  # RFC 4226, 4, R6: 160 bits are recommended


def new_secret() -> bytes:
    return secrets.token_bytes(SECRET_OCTETS)


def _reckoner(secret: bytes) -> TOTP:
    return TOTP(secret, DIGITS, SHA1(), STEP_S)  # noqa: S303 # nosec B303 # HMAC-SHA-1, as RFC 6238 asks


def code_at(secret: bytes, step: int) -> str:
    """Return the code of the time step `step` (whole 30 seconds since 1970)."""
    return _reckoner(secret).generate(step * STEP_S).decode()


def step_at(now: datetime.datetime) -> int:
    return int(now.timestamp()) // STEP_S


def step_of(secret: bytes, code: str, *, now: datetime.datetime, after: int) -> int | None:
    """Return the time step that `code` belongs to, or None.

    Only steps later than `after` count: a code that was taken once, and any before it, is taken never again.
    """
    current = step_at(now)
    steps = range(max(current - DRIFT, after + 1), current + DRIFT + 1)
    typed = code.encode()
    right = [s for s in steps if constant_time.bytes_eq(code_at(secret, s).encode(), typed)]
    return right[0] if right else None


def address_for_app(secret: bytes, *, name: str, clinic: str) -> str:
    """Return what the square code says: the secret, and under which name the app keeps it."""
    return _reckoner(secret).get_provisioning_uri(name, clinic)


def spelled_out(secret: bytes) -> str:
    """Return the secret for typing it: base 32 in groups of four."""
    text = base64.b32encode(secret).decode()
    return " ".join(text[at : at + 4] for at in range(0, len(text), 4))
