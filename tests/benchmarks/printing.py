"""How long the home program takes, beside the least that it can take: its own content drawn by bare calls.

A sheet is new in every round, with a remark and a record number that were never set before; known are, as
in a clinic, the words that all sheets share, the type and the figures. The code for the calendar is found
once a visit and kept, so it is measured apart: the last column counts it on both sides, as the sheet finds it
and as ReportLab's own widget does.

CPU time, so that what else the machine does counts little; the best of some rounds.
"""

import io
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from reportlab.graphics import renderPDF
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing
from reportlab.pdfgen.canvas import Canvas

from rehab.clinical.exercises import CARDS
from rehab.printing.home_program import HomeProgram, home_program_pdf
from rehab.printing.paper import LARGE, LETTER, Paper
from rehab.printing.scan_code import modules
from tests.benchmarks.floor import drawn, prepared
from tests.rehab.printing.sheets import ENTRY, VISIT, a_program, an_exercise

NAMES = ("Marit Oyelaran", "Bo Li", "Željko Đorđević", "Radek Holubar", "Ana Sørensen")
PAPERS = {
    "A4, 12 pt": Paper(),
    "A4, 18 pt": Paper(body=LARGE),
    "Letter, 12 pt": Paper(page=LETTER),
    "Letter, 18 pt": Paper(page=LETTER, body=LARGE),
}


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """The same pages, as the sheet sets them and as bare calls draw them; seconds for all of them."""

    pages: int
    sheet_s: float
    floor_s: float

    @property
    def times(self) -> float:
        return self.sheet_s / self.floor_s

    @property
    def pages_a_second(self) -> float:
        return self.pages / self.sheet_s


def programs(*, count: int, patients: int = len(NAMES), language: str = "en") -> list[HomeProgram]:
    """The same program for several patients, each with a remark and a visit of their own."""
    cards = (CARDS * 2)[2 : 2 + count]
    return [
        a_program(
            patient=name,
            record=f"{number:04}",
            language=language,
            remark=f"{name} leaves the hammer out for {number} days.",
            exercises=tuple(an_exercise(card) for card in cards),
            next_visit=replace(VISIT, entry=ENTRY.replace(b"0c1b0d3e", f"{number:08}".encode())),
        )
        for number, name in enumerate(NAMES[:patients], start=2)
    ]


def compare(sheets: Sequence[HomeProgram], paper: Paper, *, rounds: int = 8) -> Comparison:
    floors = [prepared(home_program_pdf(sheet, paper)) for sheet in sheets]
    turns = [
        (
            _cpu(lambda sheet: home_program_pdf(sheet, paper), _new(sheets, number)),
            _cpu(drawn, floors),
        )
        for number in range(1, rounds + 1)
    ]
    sheet_s, floor_s = (min(column) for column in zip(*turns, strict=True))
    pages = sum(len(floor.leaves) for floor in floors)
    return Comparison(pages=pages, sheet_s=sheet_s, floor_s=floor_s)


def _new(sheets: Sequence[HomeProgram], number: int) -> list[HomeProgram]:
    """The sheets with other words of the same length."""
    return [
        replace(sheet, record=f"{number}{sheet.record[1:]}", remark=f"{sheet.remark[:-1]}{number}")
        for sheet in sheets
    ]


def _cpu(draw: Callable, contents: Sequence) -> float:
    start = time.process_time()
    for content in contents:
        draw(content)
    return time.process_time() - start


def sheets_a_second(*, rounds: int = 40) -> float:
    """Home programs of four exercises that were not drawn before, by one process."""
    sheets = programs(count=4)
    for sheet in sheets:
        home_program_pdf(sheet, Paper())
    began = time.perf_counter()
    for number in range(rounds):
        for sheet in _new(sheets, number % 10):
            home_program_pdf(replace(sheet, remark=f"{sheet.remark} {number}"), Paper())
    return rounds * len(sheets) / (time.perf_counter() - began)


def code_s() -> float:
    """CPU seconds to find a code for the calendar that was not asked for before."""
    entries = [ENTRY.replace(b"0c1b0d3e", f"{number:08}".encode()) for number in range(100, 105)]
    return _cpu(modules, entries) / len(entries)


def bare_code_s() -> float:
    """CPU seconds that ReportLab's own widget takes for the same code, drawn on a page."""

    def draw(entry: bytes) -> None:
        canvas, code = Canvas(io.BytesIO()), Drawing(100, 100)
        code.add(QrCodeWidget(entry.decode(), barLevel="M"))
        renderPDF.draw(code, canvas, 0, 0)

    entries = [ENTRY.replace(b"0c1b0d3e", f"{number:08}".encode()) for number in range(5)]
    return min(_cpu(draw, [entry]) for entry in entries)


def report() -> None:
    code, bare = code_s(), bare_code_s()
    print(
        f"{'home program':36} {'pages':>5} {'ms':>6} {'floor':>6} {'times':>6} {'pages/s':>8}"
        f" {'with code':>9}"
    )
    for name, paper in PAPERS.items():
        for language in ("en", "es"):
            for count in (1, 4, 12):
                found = compare(programs(count=count, language=language), paper)
                each = 1000 / len(NAMES)
                both = (found.sheet_s / len(NAMES) + code) / (found.floor_s / len(NAMES) + bare)
                print(
                    f"{f'{name}, {language}, exercises: {count}':36} {found.pages // len(NAMES):5}"
                    f" {found.sheet_s * each:6.1f} {found.floor_s * each:6.1f} {found.times:6.2f}"
                    f" {found.pages_a_second:8.0f} {both:9.2f}",
                    flush=True,
                )
    print(f"{'code for the calendar, once a visit':42} {code * 1000:6.1f} {bare * 1000:6.1f}")
