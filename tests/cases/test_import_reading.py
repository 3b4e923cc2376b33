"""A file from any program: encodings, separators, date orders, halves and rubbish, noticed and said."""

import csv
import datetime
import io

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cases.importing import reading
from cases.importing.columns import APPOINTMENTS, COLUMNS, PATIENTS, guess, lacking, meaning
from cases.importing.dates import OrderCount, only_day, parse_date, parse_moment, parse_time
from cases.importing.survey import look

BOM = "\ufeff"
ENCODED = {
    "utf-8": lambda text: text.encode(),
    "utf-8 with a mark": lambda text: (BOM + text).encode(),
    "utf-16": lambda text: text.encode("utf-16"),
    "utf-16, big end first": lambda text: (BOM + text).encode("utf-16-be"),
    "windows-1252": lambda text: text.encode("cp1252"),
}
PYTHON_NAMES = {
    "utf-16, big end first": "utf-16",
    "windows-1252": "cp1252",
    "utf-8 with a mark": "utf-8",
}
WINDOWS_LETTERS = bytes(set(range(32, 256)) - {0x81, 0x8D, 0x8F, 0x90, 0x9D}).decode("cp1252")
CELLS = st.text(alphabet=WINDOWS_LETTERS + "\n\r\t", max_size=12)
ROWS = st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=6)


def parts_of(data: bytes, size: int):
    return lambda: (data[at : at + size] for at in range(0, len(data), size))


def read(data: bytes, *, encoding="utf-8", delimiter=",", size=5):
    return list(reading.rows(parts_of(data, size)(), encoding=encoding, delimiter=delimiter))


def faults(data: bytes) -> list[tuple[int, str]]:
    return [(row.line, str(row.fault)) for row in read(data) if row.fault]


@given(
    rows=ROWS,
    way=st.sampled_from(list(ENCODED)),
    delimiter=st.sampled_from(list(reading.DELIMITERS)),
    quoting=st.sampled_from([csv.QUOTE_ALL, csv.QUOTE_MINIMAL]),
    end=st.sampled_from(["\r\n", "\n", "\r"]),
    size=st.integers(1, 40),
)
def test_rows_that_the_standard_library_writes_come_back_as_they_were(
    rows, way, delimiter, quoting, end, size
):
    if end != "\r\n":
        # Python's writer leaves a break inside a cell unquoted where its own rows end otherwise.
        quoting = csv.QUOTE_ALL
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter, quoting=quoting, lineterminator=end).writerows(rows)
    data = ENCODED[way](text.getvalue())
    back = read(data, encoding=PYTHON_NAMES.get(way, way), delimiter=delimiter, size=size)

    assert [row.fault for row in back] == [None] * len(back)
    assert [list(row.cells) for row in back] == [row for row in rows if any(c.strip() for c in row)]


@given(
    rows=ROWS,
    way=st.sampled_from(["utf-8", "utf-8 with a mark", "utf-16", "utf-16, big end first"]),
)
def test_the_encoding_is_known_by_its_mark_or_by_being_sound(rows, way):
    data = ENCODED[way]("".join(map("".join, rows)) + "ü")

    assert reading.guess_encoding(parts_of(data, 7)) == PYTHON_NAMES.get(way, way)


@given(rows=ROWS)
def test_what_is_no_utf_8_is_taken_for_windows(rows):
    data = "".join(map("".join, rows)).encode("cp1252") + "ü".encode("cp1252")
    assume(not data.startswith((b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf")))

    assert reading.guess_encoding(parts_of(data, 7)) == "cp1252"


@pytest.mark.parametrize("delimiter", list(reading.DELIMITERS))
def test_the_separator_is_the_one_that_cuts_all_rows_alike(delimiter):
    rows = [
        ["Name", "Born", "Remark"],
        ["Zahl", "1.5.1981", "a, b; c"],
        ["Aker", "2.5.1981", "d, e"],
    ]
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter).writerows(rows)

    assert reading.guess_delimiter(parts_of(text.getvalue().encode(), 9), "utf-8") == delimiter


def test_a_byte_that_the_encoding_does_not_know_is_found_with_its_line():
    data = "Name\r\nZahl\r\nZähl\r\n".encode("cp1252")

    assert reading.unreadable_line(parts_of(data, 4), "utf-8") == 3
    assert reading.unreadable_line(parts_of(data, 4), "cp1252") is None


@pytest.mark.parametrize(
    ("encoding", "codec", "mark", "odd"),
    [
        ("utf-8", "utf-8", b"", b"Z\xe4hl"),
        ("cp1252", "cp1252", b"", b"\x81"),
        ("utf-16", "utf-16-le", b"\xff\xfe", b"\x00\xdc"),
    ],
)
@pytest.mark.parametrize("size", [4, 40_000])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("line", [1, 2, 150, 3000])
def test_its_line_is_that_of_the_file_in_whatever_parts_it_comes(
    encoding, codec, mark, odd, size, end, line
):
    before = "".join(f"{number}{end}" for number in range(1, line))
    data = mark + before.encode(codec) + odd + end.encode(codec)

    assert reading.unreadable_line(parts_of(data, size), encoding) == line


def test_utf_8_that_is_read_as_windows_is_noticed():
    assert reading.is_really_utf_8(parts_of("Zähl".encode(), 3))
    assert not reading.is_really_utf_8(parts_of("Zähl".encode("cp1252"), 3))
    assert not reading.is_really_utf_8(parts_of(b"Zahl", 3))


def test_a_file_that_ends_within_a_quotation_says_where_it_was_opened():
    data = b'Name,Born\nZahl,1981-05-04\n"Aker,1980-01-01\nBerg,1979-01-01\n'

    assert faults(data) == [(3, reading.OPEN_QUOTE)]


def test_a_quotation_mark_in_the_wrong_place_spoils_its_row_alone():
    data = b'Name,Born\n"Za"hl,1981-05-04\nAker,1980-01-01\n'

    assert faults(data) == [(2, reading.ODD_QUOTE)]
    assert read(data)[-1].cells == ("Aker", "1980-01-01")


@pytest.mark.parametrize("length", [10_001, 200_000, 1_500_000])
def test_a_cell_as_long_as_a_file_is_named_and_not_kept(length):
    data = b"Name,Born\n" + b"x" * length + b",1981-05-04\n"
    found = [str(row.fault) for row in read(data, size=4096)[1:] if row.fault]

    assert reading.TOO_LONG in found


def test_a_file_of_rubbish_is_named_and_not_read():
    assert faults(b"Name\n\0\0\0\n") == [
        (2, "A cell holds a sign that is no text. Is the encoding right?")
    ]


def test_a_row_with_too_few_cells_says_how_many():
    row = read(b"a,b,c\n1,2,3\n1,2")[-1]

    assert (
        str(reading.too_few(row, 3)) == "The row has 2 of 3 cells. The file may be cut short here."
    )
    assert reading.too_few(read(b"1,2,3,,")[0], 3) is None


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("'=1+1", "=1+1"), ("'+44 1632", "+44 1632"), ("'-3", "-3"), ("'@x", "@x"),
        ("'t Hart", "'t Hart"), ("  Zahl ", "Zahl"), ("\u00a0Zähl\u00a0", "Zähl"), ("=1+1", "=1+1"),
    ],
)  # fmt: skip
def test_the_apostrophe_of_a_table_that_left_is_taken_off_again(cell, text):
    assert reading.plain(cell) == text


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "There is nothing in the file."),
        (b"\n\n  \n", "There is nothing in the file."),
        (b"Name,Born\n", "The file has one row. The first row must be the headings."),
        (b'Name,"Born\n', reading.OPEN_QUOTE),
    ],
)
def test_a_file_without_rows_says_so(data, said):
    assert str(look(parts_of(data, 9), encoding="utf-8", delimiter=",").fault) == said


FORMS = {
    "iso": ["%Y-%m-%d", "%Y/%m/%d", "%Y.%m.%d", "%Y%m%d"],
    "day": ["%d/%m/%Y", "%d.%m.%Y", "%d-%m-%Y"],
    "month": ["%m/%d/%Y", "%m-%d-%Y"],
}
DAYS = st.dates(datetime.date(1900, 1, 1), datetime.date(2090, 12, 31))


@given(day=DAYS, order=st.sampled_from(list(FORMS)), form=st.integers(0, 3))
def test_a_date_comes_back_as_it_was_in_its_order(day, order, form):
    forms = FORMS[order]

    assert parse_date(day.strftime(forms[form % len(forms)]), order) == day


@given(day=DAYS)
def test_a_date_with_the_year_first_is_the_same_in_any_order(day):
    assert {parse_date(day.isoformat(), order) for order in FORMS} == {day}


@settings(max_examples=200)
@given(days=st.lists(DAYS, min_size=1, max_size=8), order=st.sampled_from(["day", "month"]))
def test_the_order_that_a_column_shows_is_never_the_wrong_one(days, order):
    count = OrderCount.of(day.strftime(FORMS[order][0]) for day in days)

    if any(day.day > 12 for day in days):
        assert count.settled == order
    elif any(day.day != day.month for day in days):
        assert count.settled is None


def test_a_column_with_both_orders_has_to_be_settled_by_somebody():
    assert OrderCount.of(["31/01/1980", "01/31/1980"]).settled is None


def test_the_first_date_that_means_two_days_is_the_example():
    assert (
        OrderCount.of(["1980-03-01", "05/05/1975", "01/02/1975", "03/04/1976"]).example
        == "01/02/1975"
    )


@pytest.mark.parametrize(
    "text", ["4.5.81", "31/02/1980", "1980-13-01", "4 May 1981", "", "1981", "04/05-1981"]
)
def test_what_is_no_date_is_refused(text):
    with pytest.raises(ValueError, match=r"."):
        parse_date(text, "day")


@pytest.mark.parametrize(
    ("text", "hour", "minute"),
    [
        ("09:30", 9, 30), ("9.30", 9, 30), ("9h30", 9, 30), ("09:30:00", 9, 30), ("2 pm", 14, 0),
        ("12:15 am", 0, 15), ("12:15 p.m.", 12, 15), ("23:59", 23, 59),
    ],
)  # fmt: skip
def test_a_time_is_read_as_people_write_it(text, hour, minute):
    assert parse_time(text) == datetime.time(hour, minute)


@pytest.mark.parametrize("text", ["", "9", "24:00", "9:60", "13 pm", "0 am", "noon"])
def test_what_is_no_time_is_refused(text):
    with pytest.raises(ValueError, match=r"."):
        parse_time(text)


@pytest.mark.parametrize(
    "text", ["13.03.2026 09:30", "13.03.2026, 9:30 am", "2026-03-13T09:30:00", "2026-03-13 09:30"]
)
def test_a_day_and_its_time_may_share_a_cell(text):
    assert parse_moment(text, "day") == (datetime.date(2026, 3, 13), datetime.time(9, 30))


def test_a_birth_date_may_carry_the_midnight_of_a_spreadsheet_but_no_time():
    assert only_day("1981-05-04 00:00:00", "day") == datetime.date(1981, 5, 4)
    with pytest.raises(ValueError, match="a day and a time"):
        only_day("1981-05-04 09:30", "day")


@pytest.mark.parametrize(
    "head",
    [
        ["ID", "First Name", "Last Name", "Date of Birth", "Gender"],
        ["patient_no", "FORENAME", "surname", "D.O.B.", "Sex"],
        ["Número", "Nombre", "Apellidos", "Fecha de nacimiento", "Sexo"],
        ["Nr.", "Vorname", "Nachname", "Geburtsdatum", "Geschlecht"],
    ],
)
def test_headings_are_known_in_several_spellings(head):
    assert list(guess(head, PATIENTS)) == ["own_number", "given_name", "family_name", "born", "sex"]


def test_one_column_is_not_taken_for_two_things():
    assert guess(["Date", "Start", "Therapist"], APPOINTMENTS) == {"day": 0, "practitioner": 2}


def test_no_word_heads_two_columns_of_one_kind_of_file():
    for columns in COLUMNS.values():
        words = [word for column in columns for word in column.words]
        assert sorted(set(words)) == sorted(words)


@pytest.mark.parametrize(
    ("code", "word", "means"),
    [("sex", "F", "female"), ("sex", "Männlich", "male"), ("handedness", "R", "right"),
     ("kind", "Follow-up", "follow-up"), ("language", "EN", "en"), ("sex", "M", None)],
)  # fmt: skip
def test_a_word_has_a_meaning_unless_two_languages_disagree(code, word, means):
    assert meaning(code, word) == means


def test_a_column_that_is_lacking_is_asked_for():
    assert [code for code, _why in lacking({"given_name": 0}, PATIENTS)] == ["family_name", "born"]
    told = lacking({"day": 0, "practitioner": 1, "born": 2}, APPOINTMENTS)
    assert [code for code, _why in told] == ["own_number"]
