"""What a file says of itself: a sheet printed again on the same day with the same content is the same file.

So its bytes are kept once, however often somebody prints it.
"""

import datetime

from reportlab.pdfgen.canvas import Canvas


def make_known(canvas: Canvas, *, on: datetime.date, content: bytes) -> None:
    """Date a file by the day of its sheet, and derive its identifier from the content.

    A PDF's date may end with the day, and its identifier should rest on what it holds (ISO 32000-1:2008,
    7.9.4 and 14.4). ReportLab alone writes the second, or one date and identifier for every sheet.
    """
    canvas.setDateFormatter(lambda *_time: f"D:{on:%Y%m%d}")
    canvas._doc.updateSignature(content)
