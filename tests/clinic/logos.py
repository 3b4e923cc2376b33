"""Pictures to upload."""

import io

from PIL import Image


def png(width: int = 300, height: int = 100, *, mode: str = "RGBA", color="#0e5f66") -> bytes:
    file = io.BytesIO()
    Image.new(mode, (width, height), color).save(file, "PNG")
    return file.getvalue()


def svg(inside: str = "", *, root: str = 'viewBox="0 0 100 20"', before: str = "") -> bytes:
    """A red area of 100 to 20, with something else in it."""
    area = '<rect width="100" height="20" fill="#ff0000"/>'
    return (
        f'{before}<svg xmlns="http://www.w3.org/2000/svg" '
        f'xmlns:xlink="http://www.w3.org/1999/xlink" {root}>{area}{inside}</svg>'
    ).encode()
