"""A part of the copy of a record, as it lies on the page."""

import io

import pdfplumber
import pytest

from rehab.printing.record_copy import Block, CopySheet, copy_sheet_pdf
from tests.rehab.printing.sheets import CLINIC, TODAY

HEADS = (
    "Day", "Sets done", "Repetitions in the last set", "Load, kg", "Worst pain during",
    "Pain next morning", "Woken at night", "Sharp pain or locking",
)  # fmt: skip


def lines_of(*days: str) -> list[str]:
    rows = tuple((day, "3", "15", "2.3", "2", "1", "0", "no") for day in days)
    sheet = CopySheet(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        born=TODAY,
        on=TODAY,
        title="Programs and diary",
        about="What was written down at home.",
        part=(1, 1),
        blocks=(Block(title="Diary days", heads=HEADS, lines=rows),),
    )
    with pdfplumber.open(io.BytesIO(copy_sheet_pdf(sheet))) as pdf:
        return [line["text"].replace("\u00a0", " ") for line in pdf.pages[0].extract_text_lines()]


@pytest.mark.parametrize("day", ["31 Oct 2026", "1 Nov 2026"])
def test_a_date_in_a_narrow_column_stays_in_one_piece(day):
    assert f"{day} 3 15 2.3 2 1 0 no" in lines_of(day.replace(" ", "\u00a0"))
