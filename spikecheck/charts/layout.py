"""Lays a chart out: where its lines, marks and words stand. One layout for pages and papers."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, TypeVar

from spikecheck.charts.axes import key_rows, names_of_levels, x_axis, y_axis
from spikecheck.charts.frame import finite, frame, x_values
from spikecheck.charts.looks import (
    BAND_EDGE,
    BAND_FILL,
    INK,
    LEVEL_DASH,
    LINE_HEIGHT,
    PAPER,
    TEXT,
    TITLE,
    look,
)
from spikecheck.charts.marks import flag, mark, stroke
from spikecheck.charts.shapes import Anchor, Area, Line, Picture, Words
from spikecheck.charts.words import one_line, wrapped
from spikecheck.language import _

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from spikecheck.charts.chart import Chart, Series
    from spikecheck.charts.frame import Frame
    from spikecheck.charts.shapes import Places, Shape

_Point = TypeVar("_Point", bound=tuple[float, ...])

PHONE_WIDTH = 360.0
"""Width of a picture that is read on a phone, CSS pixels."""

_EDGE = 6.0
_BOLD = 1.12  # how much wider than plain letters, DejaVu Sans, measured
_HALF_COLUMN = 0.38  # of the distance between two names under the x axis


def picture(chart: Chart, width: float = PHONE_WIDTH) -> Picture:
    """Return a chart laid out in a picture of this width; its height is what it needs.

    Parameters
    ----------
    chart
        What to show.
    width
        Units of the picture; text is 12 units high.
    """
    shapes: list[Shape] = []
    y = _EDGE
    for line in wrapped(chart.title, TITLE * _BOLD, width - 2 * _EDGE, most_lines=3):
        y += TITLE * LINE_HEIGHT
        shapes.append(Words((_EDGE, y - 4), line, TITLE, bold=True))
    keys, y = key_rows(chart, _EDGE, y, width - 2 * _EDGE)
    shapes += keys
    for line in wrapped(chart.y_name, TEXT, width - 2 * _EDGE, most_lines=2):
        y += TEXT * LINE_HEIGHT
        shapes.append(Words((_EDGE, y - 1), line, TEXT))
    seen = frame(chart, width=width, top=y + 10)
    axis, height = x_axis(chart, seen, width)
    shapes += [*_fills(chart, seen), *y_axis(seen), *axis, *_edges(chart, seen)]
    shapes += _levels(chart, seen)
    for number, series in enumerate(chart.series):
        shapes += _line(series, number, seen)
    for number, series in enumerate(chart.series):
        shapes += _marks(series, number, seen)
    shapes += _flags(chart, seen)
    shapes += names_of_levels(chart, seen)
    if not x_values(chart):
        middle = ((seen.left + seen.right) / 2, (seen.top + seen.bottom) / 2)
        shapes.append(Words(middle, _("No values yet"), TEXT, Anchor.MIDDLE))
    paper = Area(((0, 0), (width, 0), (width, height), (0, height)), PAPER)
    return Picture(width, height, one_line(chart.title), one_line(chart.told), (paper, *shapes))


def _fills(chart: Chart, seen: Frame) -> Iterator[Shape]:
    for upper, lower in _outlines(chart, seen):
        yield Area((*upper, *reversed(lower)), BAND_FILL)


def _edges(chart: Chart, seen: Frame) -> Iterator[Shape]:
    for outline in _outlines(chart, seen):
        yield from (Line(side, BAND_EDGE, 1.3) for side in outline)


def _outlines(chart: Chart, seen: Frame) -> Iterator[tuple[Places, Places]]:
    """Return the upper and the lower side of every piece of the bands, from left to right."""
    for band in chart.bands:
        if chart.x_names:
            for x, low, high in filter(finite, band.points):
                ends = seen.x(x - _HALF_COLUMN), seen.x(x + _HALF_COLUMN)
                yield (
                    tuple((end, seen.y(high)) for end in ends),
                    tuple((end, seen.y(low)) for end in ends),
                )
        else:
            for run in _runs(band.points):
                yield (
                    tuple((seen.x(x), seen.y(high)) for x, _low, high in run),
                    tuple((seen.x(x), seen.y(low)) for x, low, _high in run),
                )


def _levels(chart: Chart, seen: Frame) -> Iterator[Shape]:
    for level in chart.levels:
        if finite((level.y,)):
            y = seen.y(level.y)
            yield Line(((seen.left, y), (seen.right, y)), INK, 1.3, LEVEL_DASH)


def _line(series: Series, number: int, seen: Frame) -> Iterator[Shape]:
    if not series.joined:
        return
    for run in _runs(series.points):
        if len(run) > 1:
            places = tuple((seen.x(x), seen.y(y)) for x, y in run)
            yield stroke(_steps(places) if series.stepped else places, look(number))


def _marks(series: Series, number: int, seen: Frame) -> Iterator[Shape]:
    alone = {run[0] for run in _runs(series.points) if len(run) == 1}
    for at, point in enumerate(series.points):
        if not finite(point):
            continue
        place = (seen.x(point[0]), seen.y(point[1]))
        if series.marked or not series.joined or at in series.flagged or point in alone:
            yield mark(place, look(number))


def _flags(chart: Chart, seen: Frame) -> Iterator[Shape]:
    for series in chart.series:
        for x, y in (series.points[at] for at in series.flagged):
            if finite((x, y)):
                yield flag((seen.x(x), seen.y(y)))


def _steps(places: Places) -> Places:
    corners = [(after[0], before[1]) for before, after in pairwise(places)]
    between = [place for pair in zip(corners, places[1:], strict=True) for place in pair]
    return (places[0], *between)


def _runs(points: Sequence[_Point]) -> list[list[_Point]]:
    """Return the points in stretches without a gap."""
    runs: list[list[_Point]] = [[]]
    for point in points:
        if finite(point):
            runs[-1].append(point)
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if run]
