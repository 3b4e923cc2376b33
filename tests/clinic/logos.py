"""Pictures to upload."""

import io

from PIL import Image


def png(width: int = 300, height: int = 100, *, mode: str = "RGBA", color="#0e5f66") -> bytes:
    file = io.BytesIO()
    Image.new(mode, (width, height), color).save(file, "PNG")
    return file.getvalue()
