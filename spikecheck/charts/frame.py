"""The frame of a chart: which values it spans, and where they lie in the picture."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.charts.looks import TEXT
from spikecheck.charts.ticks import axis_ends, ticks
from spikecheck.charts.words import width_of, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.charts.chart import Chart
    from spikecheck.charts.ticks import Ticks

_TALL = 0.5  # height of the frame by the width of the picture
_LABEL_ROOM = 0.24  # share of the picture's width that names of levels may take
_TICK_EVERY = 38.0
_INSET = 8.0  # from the frame's sides to the first and the last value
_GAP = 6.0


@dataclass(frozen=True, slots=True)
class Frame:
    """Values and places.

    Parameters
    ----------
    left, right, top, bottom
        Edges in the picture, its units; y grows downwards.
    x_ends, y_ends
        Values at the edges: left and right, bottom and top.
    y_ticks
        Marks of the y axis.
    level_names
        Names of the levels, each in lines that fit beside the frame.
    """

    left: float
    right: float
    top: float
    bottom: float
    x_ends: tuple[float, float]
    y_ends: tuple[float, float]
    y_ticks: Ticks
    level_names: tuple[tuple[str, ...], ...]

    def x(self, value: float) -> float:
        """Return the place of an x value."""
        low, high = self.x_ends
        left, right = self.left + _INSET, self.right - _INSET
        return left + (value - low) / (high - low) * (right - left)

    def y(self, value: float) -> float:
        """Return the place of a y value."""
        low, high = self.y_ends
        return self.bottom - (value - low) / (high - low) * (self.bottom - self.top)


def frame(chart: Chart, *, width: float, top: float) -> Frame:
    """Return the frame of a chart in a picture of this width, its upper edge at ``top``."""
    bottom = top + _TALL * width
    y_values = list(_y_values(chart))
    y_ends = axis_ends(y_values, as_percent=chart.y_percent)
    y_ticks = ticks(
        *y_ends,
        most=int((bottom - top) / _TICK_EVERY) + 1,
        as_percent=chart.y_percent,
        # A share of 0 or 1 is no count.
        whole=bool(y_values)
        and not chart.y_percent
        and all(float(value).is_integer() for value in y_values),
    )
    names = tuple(
        tuple(wrapped(level.name, TEXT, _LABEL_ROOM * width, most_lines=3))
        for level in chart.levels
    )
    beside = max((width_of(line, TEXT) for name in names for line in name), default=0.0)
    left = _GAP + max((width_of(word, TEXT) for word in y_ticks.words()), default=0.0) + _GAP
    right = width - (beside + _GAP + 2 if beside else 2 * _GAP)
    return Frame(left, right, top, bottom, _x_ends(chart), y_ends, y_ticks, names)


def finite(point: tuple[float, ...]) -> bool:
    """Return whether every value of a point is finite."""
    return all(map(math.isfinite, point))


def _y_values(chart: Chart) -> Iterator[float]:
    for series in chart.series:
        yield from (point[1] for point in series.points if finite(point))
    for band in chart.bands:
        yield from (value for point in band.points if finite(point) for value in point[1:])
    yield from (level.y for level in chart.levels if math.isfinite(level.y))


def x_values(chart: Chart) -> list[float]:
    """Return the x values of all that is drawn."""
    points = [point for series in chart.series for point in series.points if finite(point)]
    ranges = [point for band in chart.bands for point in band.points if finite(point)]
    return [point[0] for point in (*points, *ranges)]


def _x_ends(chart: Chart) -> tuple[float, float]:
    known = x_values(chart)
    if chart.x_names:
        return -0.5, max([*known, len(chart.x_names) - 1]) + 0.5
    if not known:
        return 0.0, 1.0
    low, high = min(known), max(known)
    return (low, high) if low < high else (low - 0.5, high + 0.5)
