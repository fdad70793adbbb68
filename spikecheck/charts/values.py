"""The values of a chart as a table, for those who cannot see it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.charts.words import one_line
from spikecheck.language import _, number, percent

if TYPE_CHECKING:
    from spikecheck.charts.chart import Chart

_DIGITS, _PERCENT_DIGITS = 3, 1


@dataclass(frozen=True, slots=True)
class ValueTable:
    """Texts of a table: a head, and rows as long as it; empty where there is no value."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def values(chart: Chart) -> ValueTable:
    """Return what a chart shows as a table: a row an x, a column a series and two a band.

    A point that stands out is told so in its cell; levels are rows of their own at the end.
    """
    columns: list[tuple[str, dict[float, str]]] = []
    for series in chart.series:
        cells: dict[float, str] = {}
        for at, (x, y) in enumerate(series.points):
            told = _y(chart, y)
            if at in series.flagged:
                told = _("{value}, stands out").format(value=told)
            cells[x] = f"{cells[x]}; {told}" if x in cells else told
        columns.append((one_line(series.name) or one_line(chart.y_name), cells))
    for band in chart.bands:
        name = one_line(band.name)
        ends = (_("{name}, from").format(name=name), _("{name}, to").format(name=name))
        for place, end in enumerate(ends, start=1):
            columns.append((end, {point[0]: _y(chart, point[place]) for point in band.points}))
    every_x = sorted({x for _name, cells in columns for x in cells})
    rows = [(_x(chart, x), *(cells.get(x, "") for _name, cells in columns)) for x in every_x]
    blanks = ("",) * (len(columns) - 1)
    if columns:
        rows += [(one_line(level.name), _y(chart, level.y), *blanks) for level in chart.levels]
    return ValueTable((one_line(chart.x_name), *(name for name, _cells in columns)), tuple(rows))


def _y(chart: Chart, value: float) -> str:
    if not math.isfinite(value):
        return ""
    return percent(value, _PERCENT_DIGITS) if chart.y_percent else _plain(value)


def _x(chart: Chart, value: float) -> str:
    if chart.x_names:
        at = round(value)
        return one_line(chart.x_names[at]) if 0 <= at < len(chart.x_names) else ""
    return percent(value, _PERCENT_DIGITS) if chart.x_percent else _plain(value)


def _plain(value: float) -> str:
    return number(value, 0 if float(value).is_integer() else _DIGITS)
