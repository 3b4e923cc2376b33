"""Where sources disagree: each note concerns rows that are there and cites both sides."""

from rehab.clinical.disagreements import DISAGREEMENTS, about_row
from rehab.clinical.thresholds import GROUPS


def test_every_note_concerns_rows_of_its_own_group():
    codes = {group: {row.code for row in rows} for group, _title, rows in GROUPS}
    strays = [row.question for row in DISAGREEMENTS if not set(row.codes) <= codes[row.group]]
    assert strays == []


def test_every_note_cites_more_than_one_source():
    alone = [row.question for row in DISAGREEMENTS if "; " not in row.source]
    assert alone == []


def test_the_notes_of_a_row_are_those_that_name_it():
    assert [row.question for row in about_row("prtee_drop")] == ["Which fall of PRTEE counts?"]
    assert about_row("grip_change_n") == ()
