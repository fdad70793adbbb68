"""Lines of a CSV table, and what the columns of interest hold in each."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from itertools import chain, islice
from typing import TYPE_CHECKING

from spikecheck.errors import TableError
from spikecheck.season.temperatures.cells import air_c
from spikecheck.season.temperatures.dates import Stamp, clock_of, stamp
from spikecheck.season.temperatures.heading import HEAD_LINES, Beginning, table_begin
from spikecheck.season.temperatures.problems import CellError, Problems

if TYPE_CHECKING:
    import io
    from collections.abc import Callable, Iterable, Iterator
    from datetime import time, tzinfo
    from typing import TypeVar

    from spikecheck.season.temperatures.columns import Columns

    _T = TypeVar("_T")

_CURE = "Save it as CSV in UTF-8 with commas, semicolons or tabs"


@dataclass(frozen=True, slots=True)
class Row:
    """One line.

    Parameters
    ----------
    line
        Its number, from 1.
    stamp
        The date, with the time of day where it stands in the same cell.
    clock
        The time of day from a column of its own, or None.
    air_c
        The temperature, or the lowest and the highest, degrees C.
    """

    line: int
    stamp: Stamp
    clock: time | None
    air_c: tuple[float, ...]


def lines_of(
    text: io.TextIOWrapper, *, table: str
) -> tuple[tzinfo | None, Iterator[tuple[int, list[str]]]]:
    """Return the zone told above a table, and number and cells of its lines that are not empty.

    Raises
    ------
    TableError
        If it is not UTF-8 text or no CSV, which may show while lines are asked for, or as
        :func:`table_begin` says.
    """
    try:
        head = list(islice(text, HEAD_LINES))
    except UnicodeDecodeError as error:
        raise _no_text(1, table) from error
    begin = table_begin(head, table=table)
    return begin.zone, _lines(chain(head[begin.line :], text), begin, table=table)


def _lines(text: Iterable[str], begin: Beginning, *, table: str) -> Iterator[tuple[int, list[str]]]:
    number = begin.line + 1
    try:
        reader = csv.reader(text, delimiter=begin.mark)
        for row in reader:
            if any(cell.strip() for cell in row):
                yield number, row
            number = begin.line + reader.line_num + 1  # a quoted cell may hold several lines
    except UnicodeDecodeError as error:
        raise _no_text(number, table) from error
    except csv.Error as error:
        raise TableError(f"line {number}: {error}", where=table, cure=_CURE) from error


def _no_text(line: int, table: str) -> TableError:
    return TableError(f"not UTF-8 text from line {line} on", where=table, cure=_CURE)


def read_row(
    line: int, cells: list[str], columns: Columns, *, width: int, problems: Problems
) -> Row | None:
    """Return what a line holds, or None after noting every problem.

    Parameters
    ----------
    line
        Its number.
    cells
        Its cells.
    columns
        What each holds.
    width
        How many cells the first line has.
    problems
        Takes what is wrong.
    """
    extra = sum(1 for cell in cells[width:] if cell.strip())
    if extra:
        problems.add(
            line, None,
            f"{width + extra} columns where the table's first line has {width}; with a decimal "
            "comma, columns must be apart by semicolons",
        )  # fmt: skip
        return None

    def read(parse: Callable[[str], _T], column: int) -> _T | None:
        try:
            return parse(cells[column] if column < len(cells) else "")
        except CellError as error:
            problems.add(line, column + 1, error)
            return None

    wanted = [k for k in (columns.air, columns.low, columns.high) if k is not None]
    day = read(stamp, columns.day)
    clock = None if columns.clock is None else read(clock_of, columns.clock)
    temperatures = [read(air_c, column) for column in wanted]
    known = tuple(value for value in temperatures if value is not None)
    clock_missing = columns.clock is not None and clock is None
    if day is None or clock_missing or len(known) < len(wanted):
        return None
    return Row(line, day, clock, known)
