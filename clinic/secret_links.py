"""Links that open something to whoever has them: the secret is shown once, and only its digest is kept."""

import hashlib
import secrets

SECRET_OCTETS = 32  # more than anybody can guess: 128 bits are asked of a token (OWASP ASVS 5.0)


def new_secret() -> str:
    return secrets.token_urlsafe(SECRET_OCTETS)


def digest(secret: str) -> str:
    """What is kept of a secret (SHA-256): whoever reads the database can't use it."""
    return hashlib.sha256(secret.encode()).hexdigest()
