"""CSV tables: no cell is a formula, every text comes back, lines are those of an editor."""

from __future__ import annotations

import csv
import io
import unicodedata
from contextlib import suppress
from datetime import UTC, date, datetime

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from spikecheck.errors import TableError, UsageError
from spikecheck.exchange import TABLE_ENCODING, read_table, table_bytes, write_table
from spikecheck.vocabulary import Verdict

# OWASP, "CSV Injection": the characters with which a cell must not begin, and their full-width
# forms, which normalisation form KC tells.
OWASP = "=+-@\t\r"


def columns_of(data: bytes):
    """Every cell as another reader of RFC 4180 sees it."""
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


@given(st.lists(st.text(), min_size=1, max_size=5))
@example(["=1+1", "'=1", "''=1", "'", "''a", "@x", "\t=1", "\r", " =1", "-5", "+", "＝1"])  # noqa: RUF001
@example(["a\r\nb", "\n", '"', '","', ";", ""])
def test_every_text_comes_back_and_none_is_a_formula(texts):
    names = ["key", *(f"c{k}" for k in range(len(texts)))]
    data = table_bytes(names, [["k", *texts]])
    plain = columns_of(data)
    for cell in plain[1]:
        first = unicodedata.normalize("NFKC", cell[:1])[:1]
        assert first not in set(OWASP) | {"\n"} or not cell
        assert cell.strip()[:1] not in set("=+-@")
    table = read_table(io.BytesIO(data))
    assert table.columns.cells == tuple(names)
    assert [row.cells for row in table.rows] == [("k", *texts)]


def test_numbers_stay_numbers_and_other_values_are_plain():
    row = [-5, -0.25, 1e-7, True, False, None, date(2026, 5, 1), Verdict.PASS, "-5",
           datetime(2026, 5, 1, 9, 30, tzinfo=UTC)]  # fmt: skip
    data = table_bytes([str(k) for k in range(len(row))], [row])
    assert columns_of(data)[1] == [
        "-5", "-0.25", "1e-07", "yes", "no", "", "2026-05-01", "pass", "'-5",
        "2026-05-01T09:30:00+00:00",
    ]  # fmt: skip


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_a_number_that_is_none_is_refused(number):
    with pytest.raises(UsageError, match="cannot stand in a table"):
        table_bytes(["a"], [[number]])


def test_a_row_fits_its_columns():
    with pytest.raises(UsageError, match="a row of 1 cells does not fit 2 columns"):
        table_bytes(["a", "b"], [["x"]])


def test_a_file_begins_with_a_mark_that_spreadsheets_know(tmp_path):
    path = tmp_path / "table.csv"
    with path.open("w", encoding=TABLE_ENCODING, newline="") as file:
        assert write_table(file, ["a"], ([n] for n in range(3))) == 3
    assert path.read_bytes() == b"\xef\xbb\xbfa\r\n0\r\n1\r\n2\r\n"


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_lines_are_those_of_an_editor(end, delimiter, mark):
    lines = ["", "a,b,c", ",,", "1,2,3", '"x\ny","\n","z"', " , ,", "4,5,6"]
    text = mark + "\n".join(lines).replace("\n", end).replace(",", delimiter)
    table = read_table(io.BytesIO(text.encode()))
    rows = list(table.rows)
    assert table.columns.line == 2
    assert table.columns.cells == ("a", "b", "c")
    assert [row.line for row in rows] == [4, 5, 9]
    assert [rows[1].line_of(k) for k in range(3)] == [5, 6, 7]
    assert rows[1].cells == (f"x{end}y", end, "z")


def rows_of(data: bytes):
    return list(read_table(io.BytesIO(data)).rows)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "the file is empty"),
        (b"\r\n ,,\n", "the file is empty"),
        ("a,b\nx,1\ny\xf6,2\n".encode("latin-1"), "line 3: character 2 is not UTF-8.*CSV UTF-8"),
        ("a,b\nx,1\n".encode("utf-16"), "line 1: the file is not UTF-8.*CSV UTF-8"),
        ("a,b\nx,1\n".encode("utf-16-le"), "line 1: the file is not UTF-8"),
        (b"PK\x03\x04a,b\n", "line 1: the file is a workbook"),
        (b"a,b\n" + b"x" * 100_001, "line 2: the line is longer"),
        (b'a,b\n1,2\n"x,y\n', "line 3: the quotes of this row do not close.*twice"),
        (b'a,b\n1,2\n"x,y\n' + b"1,2\n" * 40_000, "line 3: the quotes of this row do not close"),
        (b'a,b\n"x"y,2\n', "line 2: the quotes"),
    ],
)
def test_what_is_no_table_is_told_with_its_line(data, said):
    with pytest.raises(TableError, match=said) as caught:
        rows_of(data)
    assert caught.value.cure


@given(st.binary(max_size=60))
def test_any_bytes_are_a_table_or_an_error(data):
    with suppress(TableError):
        for row in rows_of(data):
            assert any(cell.strip() for cell in row.cells)


def test_the_callers_file_stays_open():
    file = io.BytesIO(b"a\n1\n")
    list(read_table(file).rows)
    assert not file.closed
    read_table(file := io.BytesIO(b"a\n1\n"))
    assert not file.closed
