"""Tables that leave as CSV."""

import pytest

from clinic.csv_file import SENT_AT_ONCE, blocks, csv_file, harmless
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


@pytest.mark.parametrize("size", [0, 1, 7, SENT_AT_ONCE, 5 * SENT_AT_ONCE])
def test_lines_are_sent_in_blocks_and_none_is_lost(size):
    texts = ["0123456\r\n"] * size

    sent = list(blocks(texts))

    assert "".join(sent) == "".join(texts)
    assert all(SENT_AT_ONCE <= len(one) < SENT_AT_ONCE + 9 for one in sent[:-1])
