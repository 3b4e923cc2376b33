"""What a file says of itself: a sheet printed again on the same day with the same content is the same file.

So its bytes are kept once, however often somebody prints it.
"""

import datetime
import hashlib
import re

from reportlab.pdfgen.canvas import Canvas

# The identifier as ReportLab writes it, behind everything else: twice the same 16 octets.
WRITTEN = re.compile(rb"/ID\s*\[<([0-9a-f]{32})><\1>\]")


def date_file(canvas: Canvas, on: datetime.date) -> None:
    """Date a file by the day of its sheet; a PDF's date may end with the day (ISO 32000-1:2008, 7.9.4).

    ReportLab alone would write the time of the day, or one date for every sheet.
    """
    canvas.setDateFormatter(lambda *_time: f"D:{on:%Y%m%d}")


def identified(file: bytes) -> bytes:
    """Derive the identifier of a file from what it holds, as ISO 32000-1:2008, 14.4, recommends.

    ReportLab alone would write one for every sheet. Raises ValueError for a file without one.
    """
    own = hashlib.md5(file, usedforsecurity=False).hexdigest().encode()
    written, count = WRITTEN.subn(b"/ID [<%b><%b>]" % (own, own), file)
    if count != 1:
        raise ValueError("the file has no identifier")
    return written
