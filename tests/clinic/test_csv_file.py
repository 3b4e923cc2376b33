"""Tables that leave as CSV."""

import pytest

from clinic.csv_file import csv_file, harmless
from clinic.models import Staff


@pytest.mark.parametrize("cell", ["=1+1", "+44", "-3", "@name", "\tx", "\rx"])
def test_a_text_that_a_spreadsheet_would_run_is_made_harmless(cell):
    assert harmless(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["plain", "", 3, -3.5, None])
def test_other_cells_stay_as_they_are(cell):
    assert harmless(cell) == cell


def test_what_becomes_a_text_is_looked_at_as_one():
    assert harmless(Staff(first_name="=Ida", last_name="Ames")) == "'=Ida Ames"


def test_rows_are_streamed_in_utf_8():
    answer = csv_file([("a", "größer, ≥ 3"), (1, "=x")], name="rows")

    assert answer.streaming
    assert b"".join(answer).decode() == 'a,"größer, ≥ 3"\r\n1,\'=x\r\n'
    assert answer["Content-Disposition"] == 'attachment; filename="rows.csv"'
