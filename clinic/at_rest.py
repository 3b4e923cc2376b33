"""What must be read again but never from a stolen database: encrypted under a key that is not in it.

The key is derived from SECRET_KEY. After a change of that, what an earlier key encrypted can be read as long
as the earlier one is among SECRET_KEY_FALLBACKS; what is written anew is under the new key.
"""

import base64

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings

# A key of its own, apart from those that Django derives for signing.
PURPOSE = b"clinic: second factor"


class Unreadable(Exception):
    """The key that encrypted this is neither SECRET_KEY nor among its fallbacks."""


def _key(secret: str) -> Fernet:
    derived = HKDF(SHA256(), length=32, salt=None, info=PURPOSE).derive(secret.encode())
    return Fernet(base64.urlsafe_b64encode(derived))


def _keys() -> MultiFernet:
    return MultiFernet([_key(key) for key in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS)])


def encrypt(data: bytes) -> str:
    return _keys().encrypt(data).decode()


def decrypt(text: str) -> bytes:
    """Return the data; raises Unreadable."""
    try:
        return _keys().decrypt(text.encode())
    except InvalidToken as error:
        raise Unreadable from error
