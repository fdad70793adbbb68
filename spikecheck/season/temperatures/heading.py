"""Where a table begins: loggers write their number, the site and blank lines above its header."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from spikecheck.errors import TableError
from spikecheck.season.temperatures.cells import air_c
from spikecheck.season.temperatures.columns import (
    columns_of_header,
    columns_of_row,
    holds,
    is_header,
    may_date,
    tells_fahrenheit,
    tells_zone,
)
from spikecheck.season.temperatures.dates import stamp
from spikecheck.season.temperatures.problems import CellError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo

HEAD_LINES = 40
"""How many lines are looked at: no logger tells so much about itself."""

_MARKS = ";\t,"
_CELLS_LEAST = 2


@dataclass(frozen=True, slots=True)
class Beginning:
    """Where a table begins.

    Parameters
    ----------
    line
        Its first line, from 0.
    mark
        What its columns are apart by.
    zone
        Of its times, where a line above it tells it.
    """

    line: int
    mark: str
    zone: tzinfo | None = None


def table_begin(head: Sequence[str], *, table: str) -> Beginning:
    """Return where a table begins.

    It begins in the first line that is not blank if that can be its header or a row. Otherwise it
    begins with the one header among ``head`` that a row with a date follows; lines above it are
    about the logger. Where there is none it is the first line again, and what is wrong with it
    stays to be told.

    Parameters
    ----------
    head
        The first lines of the file, :data:`HEAD_LINES` at the most.
    table
        What messages call the table.

    Raises
    ------
    TableError
        If several lines could be the header, a reading would be lost above it, or a line above
        it tells that temperatures are in degrees F, or of a time zone that is not certain.
    """
    filled = [k for k, line in enumerate(head) if line.strip(_MARKS + " \r\n")]
    if not filled:
        return Beginning(0, ",")
    first = filled[0]
    if _can_begin(_cells(head[first], _mark(head[first]))):
        return Beginning(first, _mark(head[first]))
    headers = [
        line for line, below in pairwise(filled)
        if _heads(head[line], head[below])
    ]  # fmt: skip
    # A header with a fault of its own is taken where no other is there, so that the fault is told.
    chosen = [k for k in headers if _can_begin(_cells(head[k], _mark(head[k])))] or headers
    if len(chosen) > 1:
        numbers = " and ".join(str(k + 1) for k in chosen)
        raise TableError(
            f"lines {numbers} could each be the header", where=table,
            cure="Nothing was taken in; delete the lines above the table",
        )  # fmt: skip
    begin = chosen[0] if chosen else first
    for above in filled[: filled.index(begin)]:
        if _holds_reading(head[above]):
            raise TableError(
                f"line {above + 1} holds a date and a number, above what looks like the header in "
                f"line {begin + 1}", where=table,
                cure="Nothing was taken in; delete what does not belong to the table",
            )  # fmt: skip
        if tells_fahrenheit(head[above]):
            raise TableError(
                f"line {above + 1} tells of degrees F", where=table,
                cure="Nothing was taken in; change the unit to degrees C, or delete that line if "
                "it is about something else",
            )  # fmt: skip
    zone = _zone_above(head, filled[: filled.index(begin)], table=table)
    return Beginning(begin, _mark(head[begin]), zone)


def _zone_above(head: Sequence[str], lines: Sequence[int], *, table: str) -> tzinfo | None:
    zones = set()
    for above in lines:
        try:
            zones.add(tells_zone(head[above]))
        except CellError as error:
            raise TableError(
                f"line {above + 1}: {error}", where=table,
                cure="Nothing was taken in; write it so, or delete that line: then --zone counts",
            ) from error  # fmt: skip
    told = zones - {None}
    if len(told) > 1:
        raise TableError(
            "several time zones are told above the header", where=table,
            cure="Nothing was taken in; leave the one of the table's times",
        )  # fmt: skip
    return next(iter(told), None)


def _heads(line: str, below: str) -> bool:
    """Tell whether a column that may hold the date does so in the row below."""
    mark = _mark(line)
    cells, row = _cells(line, mark), _cells(below, mark)
    if len(cells) < _CELLS_LEAST or not is_header(cells):
        return False
    pairs = zip(cells, row, strict=False)
    return any(may_date(cell) and holds(stamp, under) for cell, under in pairs)


def _holds_reading(line: str) -> bool:
    cells = _cells(line, _mark(line))
    return any(holds(stamp, cell) for cell in cells) and any(holds(air_c, cell) for cell in cells)


def _can_begin(cells: list[str]) -> bool:
    try:
        (columns_of_header if is_header(cells) else columns_of_row)(cells)
    except CellError:
        return False
    return True


def _mark(line: str) -> str:
    return next((mark for mark in _MARKS if mark in line), ",")


def _cells(line: str, mark: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=mark), [])
    except csv.Error:
        return []  # told with its place when the table is read
