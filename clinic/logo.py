"""Which pictures are taken as a logo. The content of a file decides what it is, never its name."""

import base64
import io
import struct

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _
from PIL import Image

from clinic.drawn_logo import check_svg

LARGEST = 200_000  # bytes
MOST_DOTS = 2000
# The signature and the name of the first chunk, which holds width and height (ISO/IEC 15948, 5.2 and 11.2.2).
SIGNATURE, HEADER = b"\x89PNG\r\n\x1a\n", b"IHDR"

TOO_LARGE = _("The file is larger than 200 kB.")
TOO_MANY_DOTS = _("The picture has more than 2000 dots on a side.")
DAMAGED = _("The picture is damaged.")


def check_logo(data: bytes) -> None:
    """Raise ValidationError with one sentence for a file that is no logo."""
    if len(data) > LARGEST:
        raise ValidationError(TOO_LARGE)
    if is_png(data):
        _check_png(data)
    else:
        check_svg(data)


def is_png(data: bytes) -> bool:
    return data.startswith(SIGNATURE) and data[12:16] == HEADER


def _check_png(data: bytes) -> None:
    """Read its size before it is decoded: a small file can hold a picture that fills the memory."""
    if len(data) < 24:
        raise ValidationError(DAMAGED)
    width, height = struct.unpack(">II", data[16:24])
    if max(width, height) > MOST_DOTS:
        raise ValidationError(TOO_MANY_DOTS)
    try:
        picture = Image.open(io.BytesIO(data), formats=["PNG"])
        if picture.size != (width, height):  # a second header
            raise ValidationError(DAMAGED)
        picture.load()
    except (OSError, SyntaxError, ValueError, struct.error) as wrong:
        raise ValidationError(DAMAGED) from wrong


def as_address(data: bytes) -> str:
    """The picture as an address that a page can show without asking for it."""
    kind = "png" if is_png(data) else "svg+xml"
    return f"data:image/{kind};base64,{base64.b64encode(data).decode()}" if data else ""
