"""The least that a sheet can cost: its own content drawn by bare calls, with nothing left to set.

What is drawn was read back from the sheet itself (`leaves.py`). Its paths are computed beforehand, its lines
are broken and placed; only the calls are left that put them on a page and into a file.
"""

import io
from dataclasses import dataclass

import pypdf
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from tests.benchmarks.leaves import Leaf, Pen, Run, Shape, leaves_of


@dataclass(frozen=True)
class Prepared:
    """A sheet ready to be drawn: its paths are computed."""

    leaves: tuple[Leaf, ...]
    paths: tuple[tuple[tuple[PDFPathObject, Shape], ...], ...]
    outline: tuple[tuple[str, int], ...]
    title: str
    author: str
    language: str


def prepared(data: bytes) -> Prepared:
    pdf, leaves = pypdf.PdfReader(io.BytesIO(data)), leaves_of(data)
    return Prepared(
        leaves=leaves,
        paths=tuple(tuple((_path(shape), shape) for shape in leaf.shapes) for leaf in leaves),
        outline=tuple((one.title, pdf.get_destination_page_number(one)) for one in pdf.outline),
        title=pdf.metadata.title,
        author=pdf.metadata.author,
        language=pdf.root_object["/Lang"],
    )


def _path(shape: Shape) -> PDFPathObject:
    path = PDFPathObject()
    draw = {
        b"m": path.moveTo,
        b"l": path.lineTo,
        b"c": path.curveTo,
        b"h": path.close,
        b"re": path.rect,
    }
    for operator, numbers in shape.segments:
        draw[operator](*numbers)
    return path


def drawn(sheet: Prepared) -> bytes:
    """Draw every page by bare calls."""
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=sheet.leaves[0].size, invariant=1, lang=sheet.language)
    canvas.setTitle(sheet.title)
    canvas.setAuthor(sheet.author)
    for number, leaf in enumerate(sheet.leaves):
        _draw_shapes(canvas, sheet.paths[number])
        _draw_runs(canvas, leaf.runs)
        _list_headings(canvas, [title for title, page in sheet.outline if page == number], number)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def _draw_shapes(canvas: Canvas, paths: tuple[tuple[PDFPathObject, Shape], ...]) -> None:
    last = None
    for path, shape in paths:
        if shape.pen != last:
            _take(canvas, shape.pen)
            last = shape.pen
        stroke, fill, rule = shape.paint
        canvas.drawPath(path, stroke=stroke, fill=fill, fillMode=rule)


def _take(canvas: Canvas, pen: Pen) -> None:
    canvas.setStrokeColorRGB(*pen.stroke)
    canvas.setFillColorRGB(*pen.fill)
    canvas.setLineWidth(pen.width)
    canvas.setLineCap(pen.cap)
    canvas.setLineJoin(pen.join)
    canvas.setDash(*([list(pen.dash)] if pen.dash else []))


def _draw_runs(canvas: Canvas, runs: tuple[Run, ...]) -> None:
    font = color = None
    for run in runs:
        if (run.font, run.size) != font:
            font = run.font, run.size
            canvas.setFont(*font)
        if run.color != color:
            color = run.color
            canvas.setFillColorRGB(*color)
        canvas.drawString(run.x, run.y, run.text, wordSpace=run.spacing)


def _list_headings(canvas: Canvas, titles: list[str], page: int) -> None:
    for place, title in enumerate(titles):
        canvas.bookmarkPage(f"{page}-{place}")
        canvas.addOutlineEntry(title, f"{page}-{place}", level=0)
