"""Every printed sheet, page by page, on both papers, in both sizes and languages, as one page of pictures.

With ARTIFACTS set it is kept there as `paper.html`: to look at what a change of a sheet does to the others.
"""

import base64
import io
import itertools
import pathlib
from collections.abc import Iterator

import pytest
from django.conf import settings
from django.urls import reverse
from PIL import ImageOps
from PIL.Image import Palette
from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas

from cases.models import Patient
from clinic.models import Clinic
from rehab.models import Handout
from tests.browser.situations import NUMBERS, PAPER, a_clinic_at_work
from tests.pages import typed
from tests.rehab.printing.scanning import INCH as DPI
from tests.rehab.printing.scanning import MM
from tests.rehab.printing.scanning import pictures as drawings

SIZES_MM = {"A4": (210, 297), "letter": (215.9, 279.4)}
# Office printers leave an edge of up to 5 mm white; the letters of a foot reach a little below their line.
EDGE_MM = 4.5
# The parts of a page's height that head and foot take.
HEAD, FOOT = 0.075, 0.12
# Sheets that a form asks for, and the page that it stands on.
FILLED_IN = {"rehab:referral_letter": "rehab:referral"}
# Kinds of handouts that are no paper.
PAGES = {Handout.Kind.HOME_PROGRAM_PAGE, Handout.Kind.SUMMARY_PAGE}
SETTINGS = tuple(itertools.product(SIZES_MM, Patient.PrintSize.values, dict(settings.LANGUAGES)))
LAYOUT = """
    body { font: 14px sans-serif; background: #ccc } section { margin-block-end: 2rem }
    img { margin: 4px; vertical-align: top } h2 { margin: 0 }
"""
SHOWN = "() => [...document.images].filter(image => image.naturalWidth > 200).length"


def dots(mm: float) -> int:
    return round(mm / MM * DPI)


def faults(picture, paper: str, *, last: bool = True) -> Iterator[str]:
    """What is wrong with a page: its size, ink where a printer has none, or little between head and foot."""
    (width, height), size = picture.size, sorted(map(dots, SIZES_MM[paper]))
    if any(abs(found - asked) > 2 for found, asked in zip(sorted(picture.size), size, strict=True)):
        yield f"{width} x {height} dots are no {paper}"
    ink = ImageOps.invert(picture.convert("L"))
    edge = dots(EDGE_MM)
    left, top, right, bottom = ink.point(lambda gray: gray > 40 and 255).getbbox() or (0,) * 4
    if left < edge or top < edge or right > width - edge or bottom > height - edge:
        yield f"ink from {left}, {top} to {right}, {bottom}"
    body = ink.crop((0, round(height * HEAD), width, round(height * (1 - FOOT))))
    lowest = (body.point(lambda gray: gray > 80 and 255).getbbox() or (0, 0, 0, 0))[3]
    if not lowest:
        yield "nothing but head and foot"
    elif not last and lowest < body.height / 3:
        yield "two thirds are empty"


def sheets(client, numbers: dict) -> Iterator[tuple[str, str, bytes]]:
    """Each sheet's name with its setting, the paper and the file; what is the same in all of them once."""
    seen = set()
    for (view, of), (paper, size, language) in itertools.product(printed(), SETTINGS):
        Clinic.objects.update(paper=paper)
        Patient.objects.update(print_size=size, language=language)
        answer = asked(client, view, numbers[of])
        assert answer["Content-Type"] == "application/pdf", view
        if answer.content not in seen:
            seen.add(answer.content)
            yield f"{view}, {of} · {paper} · {size} · {language}", paper, answer.content


def printed() -> list[tuple[str, str]]:
    """Each view that prints, and of what."""
    views = sorted(PAPER - {"rehab:handout"} | FILLED_IN.keys())
    return [(view, of) for view in views for of in NUMBERS[FILLED_IN.get(view, view)]]


def asked(client, view: str, number: int):
    address = reverse(view, args=[number])
    if view not in FILLED_IN:
        return client.get(address)
    return client.post(address, typed(client.get(reverse(FILLED_IN[view], args=[number]))))


def as_page(drawn: dict[str, list]) -> str:
    sections = (
        f"<section><h2>{name}</h2>{''.join(map(as_image, pages))}</section>"
        for name, pages in drawn.items()
    )
    return f"<!doctype html><title>Paper</title><style>{LAYOUT}</style>{''.join(sections)}"


def as_image(picture) -> str:
    file = io.BytesIO()
    picture.convert("P", palette=Palette.ADAPTIVE, colors=32).save(file, "png", optimize=True)
    return f'<img src="data:image/png;base64,{base64.b64encode(file.getvalue()).decode()}">'


@pytest.mark.django_db
def test_every_page_of_every_sheet_lies_within_its_paper(
    chromium, signed_in, physiotherapist, pictures, tmp_path
):
    numbers = a_clinic_at_work(physiotherapist)
    drawn, wrong = {}, {}
    for name, paper, data in sheets(signed_in(physiotherapist), numbers):
        drawn[name] = drawings(data, dpi=DPI)
        for number, picture in enumerate(drawn[name], start=1):
            found = faults(picture, paper, last=number == len(drawn[name]))
            wrong |= {f"{name}, page {number}": what for what in found}
    sheet = pathlib.Path(pictures or tmp_path) / "paper.html"
    sheet.write_text(as_page(drawn))
    page = chromium.new_page()
    page.goto(sheet.as_uri())
    shown = page.evaluate(SHOWN)
    page.close()

    assert wrong == {}
    kept = set(Handout.objects.values_list("kind", flat=True))
    assert set(Handout.Kind) - kept == PAGES
    assert shown == sum(map(len, drawn.values())) > 100


@pytest.mark.parametrize(
    ("draw", "found"),
    [
        (lambda canvas: canvas.drawString(100, 400, "words"), []),
        (lambda canvas: canvas.drawString(100, 700, "a few words"), ["two thirds are empty"]),
        (lambda canvas: canvas.drawString(100, 800, "a head alone"), ["nothing but head and foot"]),
        (lambda canvas: canvas.rect(5, 400, 50, 50), ["ink from 4, 391 to 56, 443"]),
    ],
)
def test_a_page_that_is_empty_or_runs_over_its_edge_is_found(draw, found):
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=A4)
    draw(canvas)
    canvas.save()
    (picture,) = drawings(file.getvalue(), dpi=DPI)

    assert list(faults(picture, "A4", last=False)) == found
    assert next(faults(picture, "letter")) == "596 x 842 dots are no letter"
