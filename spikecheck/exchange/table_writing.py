"""CSV tables for spreadsheets and statistics."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.exchange.cells import guarded, written

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from typing import TextIO

    from spikecheck.exchange.cells import Cell

# With a byte order mark, by which spreadsheets tell UTF-8 from the code page of the machine.
TABLE_ENCODING = "utf-8-sig"


def write_table(file: TextIO, columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> int:
    """Write a header and rows as RFC 4180 has it: commas, CRLF, quotes where needed.

    Parameters
    ----------
    file
        Opened with ``newline=""``; as ``encoding`` take :data:`TABLE_ENCODING`.
    columns
        Names of the columns.
    rows
        One cell a column; may be a generator, nothing is kept.

    Returns
    -------
    int
        Rows written.

    Raises
    ------
    UsageError
        If a row has not as many cells as there are columns, or a number is not finite.
    """
    table = csv.writer(file, lineterminator="\r\n")
    table.writerow([guarded(name) for name in columns])
    count = 0
    for row in rows:
        if len(row) != len(columns):
            raise UsageError(f"a row of {len(row)} cells does not fit {len(columns)} columns")
        table.writerow([written(cell) for cell in row])
        count += 1
    return count


def table_bytes(columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """Return what :func:`write_table` writes, as the bytes of a whole file."""
    text = io.StringIO(newline="")
    write_table(text, columns, rows)
    return text.getvalue().encode(TABLE_ENCODING)
