"""CSV tables as spreadsheets save them, row by row, with the line an editor shows."""

from __future__ import annotations

import csv
import io
import re
from contextlib import suppress
from dataclasses import dataclass
from itertools import chain, count
from typing import TYPE_CHECKING, BinaryIO

from spikecheck.errors import TableError
from spikecheck.exchange.cells import unguarded

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

DELIMITERS = (",", ";", "\t")
SAVE_AS_UTF8 = 'Save it from the spreadsheet as "CSV UTF-8"'
# Longer lines are no tables of people's own; without a limit one unclosed file fills the memory.
LONGEST_LINE = 100_000
_LINE_END = re.compile(r"\r\n|\r|\n")
_NO_TEXT = re.compile(r"[\udc80-\udcff]")
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row of a table.

    Parameters
    ----------
    line
        Line of the file in which it begins, from 1.
    cells
        Its cells as text; a guarding apostrophe is off.
    """

    line: int
    cells: tuple[str, ...]

    def line_of(self, column: int) -> int:
        """Return the line in which the cell ``column``, from 0, begins."""
        before = self.cells[:column]
        return self.line + sum(len(_LINE_END.findall(cell)) for cell in before)


@dataclass(frozen=True, slots=True)
class Table:
    """A table being read.

    Parameters
    ----------
    columns
        The first row that is not blank.
    rows
        The others, read as they are asked for; blank rows are left out.
    """

    columns: TableRow
    rows: Iterator[TableRow]


def read_table(file: BinaryIO, known: Sequence[str] = ()) -> Table:
    """Return the table in ``file``; little of it is in memory at any time.

    Parameters
    ----------
    file
        The bytes: UTF-8 with or without byte order mark; comma, semicolon or tab between cells;
        any line ends; quoted cells may have several lines.
    known
        Names of columns that tell the delimiter; without, the most frequent in the header is it.

    Raises
    ------
    TableError
        If the file is empty, no UTF-8 text or no table; also while rows are read. The message
        names the line.
    """
    lines = _lines(file)
    begin = next(
        ((skipped, line) for skipped, line in enumerate(lines) if line.strip(" ,;\t\r\n")), None
    )
    if begin is not None:
        skipped, header = begin
        delimiter = max(DELIMITERS, key=lambda one: _fit(header, one, known))
        rows = _rows(chain([header], lines), delimiter, skipped)
        if (columns := next(rows, None)) is not None:
            return Table(columns, rows)
    raise TableError("the file is empty", cure="Give a header and one row or more")


def _fit(header: str, delimiter: str, known: Sequence[str]) -> int:
    if not known:
        return header.count(delimiter)
    return sum(cell.strip(' \t\r\n"').casefold() in known for cell in header.split(delimiter))


def _rows(lines: Iterator[str], delimiter: str, skipped: int) -> Iterator[TableRow]:
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    while True:
        line = skipped + reader.line_num + 1
        try:
            cells = next(reader, None)
        except csv.Error as error:
            raise TableError(
                f"the quotes of this row do not close ({error})", where=f"line {line}",
                cure='Close the quote, and write a quote inside quotes twice: ""',
            ) from error  # fmt: skip
        if cells is None:
            return
        if any(cell.strip() for cell in cells):
            yield TableRow(line, tuple(map(unguarded, cells)))


def _lines(file: BinaryIO) -> Iterator[str]:
    """Yield the lines of a text file, their ends kept; refuse what is no UTF-8 text."""
    # Undecodable bytes come as half characters, so that the line they stand in is known.
    text = io.TextIOWrapper(file, encoding="utf-8", errors="surrogateescape", newline="")
    try:
        for number in count(1):
            line = text.readline(LONGEST_LINE + 1)
            if not line:
                return
            where = f"line {number}"
            if number == 1:
                line = _first(line, where)
            if not line.isascii() and (odd := _NO_TEXT.search(line)):
                raise TableError(
                    f"character {odd.start() + 1} is not UTF-8 text",
                    where=where, cure=SAVE_AS_UTF8,
                )  # fmt: skip
            if len(line) > LONGEST_LINE:
                raise TableError(
                    f"the line is longer than {LONGEST_LINE} characters", where=where,
                    cure="Is this the CSV file? Shorten the texts in it",
                )  # fmt: skip
            yield line
    finally:
        with suppress(ValueError):  # the caller may have closed the file
            text.detach()


def _first(line: str, where: str) -> str:
    """Return the first line without its byte order mark, if it can be of a table at all."""
    begin = line[:2].encode("utf-8", "surrogateescape")
    if begin[:2] in _UTF16_MARKS or "\0" in line:
        raise TableError("the file is not UTF-8 text", where=where, cure=SAVE_AS_UTF8)
    if begin == b"PK":
        raise TableError("the file is a workbook, not CSV", where=where, cure=SAVE_AS_UTF8)
    return line.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}")
