"""Takes in a table of temperatures: a logger's readings or daily extremes, all of it or nothing."""

from __future__ import annotations

import io
from datetime import time
from itertools import chain
from typing import TYPE_CHECKING, BinaryIO

from spikecheck.errors import TableError
from spikecheck.season.temperatures.cells import refuse_so_hot
from spikecheck.season.temperatures.columns import columns_of_header, columns_of_row, is_header
from spikecheck.season.temperatures.dates import refuse_doubt
from spikecheck.season.temperatures.local_time import moment_after
from spikecheck.season.temperatures.problems import CellError, Problems
from spikecheck.season.temperatures.rows import Row, lines_of, read_row
from spikecheck.season.temperatures.typed import in_order
from spikecheck.vocabulary.temperatures import DailyReading, Reading

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime, tzinfo

    from spikecheck.season.temperatures.columns import Columns

# A year of readings, one a minute, is 525,600 lines; all are held in memory until the last is read.
_ROWS_MOST = 1_000_000


def read_temperature_table(
    source: BinaryIO, *, zone: tzinfo, name: str = "temperatures", day_first: bool = False
) -> tuple[Reading, ...] | tuple[DailyReading, ...]:
    """Return the readings or the days of a CSV table, in order of time.

    Parameters
    ----------
    source
        UTF-8, with or without byte order mark; columns apart by comma, semicolon or tab; with a
        header or without. Lines about the logger may stand above a header. It is read line by line
        and not closed.
    zone
        Of times that have no offset: not beside them, nor in the header or above it.
    name
        What messages call the table.
    day_first
        Whether the user said that the day comes first in dates such as 1/5/2026. Without it such
        dates are taken only where one of them shows it.

    Raises
    ------
    TableError
        If anything cannot be taken in; the message names the first 20 places by line and column.
        A table of more than 1,000,000 lines is refused as a whole.
    """
    problems = Problems(name)
    text = io.TextIOWrapper(source, encoding="utf-8-sig", newline="")
    try:
        above, lines = lines_of(text, table=name)
        columns, rows = _rows(lines, problems, name=name)
    finally:
        text.detach()
    _look_over(rows, columns, problems, day_first=day_first)
    if columns.air is None:
        days = _days(rows, columns, problems)
        problems.raise_if_any()
        return days
    readings = _readings(rows, columns, problems, zone=columns.zone or above or zone)
    problems.raise_if_any()
    return readings


def _rows(
    lines: Iterator[tuple[int, list[str]]], problems: Problems, *, name: str
) -> tuple[Columns, list[Row]]:
    line, first = next(lines, (1, [""]))
    headed = is_header(first)
    try:
        columns = columns_of_header(first) if headed else columns_of_row(first)
    except CellError as error:
        problems.add(line, None, error)
        raise problems.error() from error
    body = lines if headed else chain([(line, first)], lines)
    rows = []
    for count, (number, cells) in enumerate(body, start=1):
        if count > _ROWS_MOST:
            raise TableError(
                f"has more than {_ROWS_MOST:,} lines of temperatures", where=name,
                cure="Nothing was taken in; cut it into several tables, or leave readings out: "
                "one in ten minutes is enough",
            )  # fmt: skip
        row = read_row(number, cells, columns, width=len(first), problems=problems)
        if row is not None:
            rows.append(row)
    if not rows and not problems:
        problems.add(line, None, "no line holds a temperature")
    return columns, rows


def _look_over(rows: list[Row], columns: Columns, problems: Problems, *, day_first: bool) -> None:
    """Note what only the whole table shows: the order of day and month, and degrees F."""
    if not day_first:
        try:
            refuse_doubt([row.stamp for row in rows])
        except CellError as error:
            problems.add(rows[0].line, columns.day + 1, error)
            raise problems.error() from error
    try:
        refuse_so_hot([value for row in rows for value in row.air_c])
    except CellError as error:
        problems.add(rows[0].line, None, error)


def _days(rows: list[Row], columns: Columns, problems: Problems) -> tuple[DailyReading, ...]:
    found: list[DailyReading] = []
    for row in rows:
        try:
            one = _day(row, found[-1] if found else None)
        except CellError as error:
            problems.add(row.line, columns.day + 1, error)
        else:
            found.append(one)
    return tuple(found)


def _day(row: Row, before: DailyReading | None) -> DailyReading:
    low, high = row.air_c
    if (row.stamp.clock or row.clock or time()).replace(tzinfo=None) != time():
        raise CellError("lowest and highest of a day need no time of day")
    one = in_order(DailyReading(row.stamp.day(), low, high))
    if before is not None and one.day <= before.day:
        raise CellError(f"{one.day} is not after the line before it")
    return one


def _readings(
    rows: list[Row], columns: Columns, problems: Problems, *, zone: tzinfo
) -> tuple[Reading, ...]:
    found: list[Reading] = []
    before: datetime | None = None
    for row in rows:
        try:
            before = moment_after(before, row.stamp.moment(row.clock), zone)
        except CellError as error:
            problems.add(row.line, columns.day + 1, error)
        else:
            found.append(Reading(before, row.air_c[0]))
    return tuple(found)
