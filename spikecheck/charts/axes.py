"""Axes, the key and names beside a chart."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from spikecheck.charts.frame import finite, x_values
from spikecheck.charts.looks import AXIS, BAND_EDGE, BAND_FILL, GRID, LINE_HEIGHT, TEXT, look
from spikecheck.charts.marks import mark, stroke
from spikecheck.charts.shapes import Anchor, Area, Line, Words
from spikecheck.charts.ticks import ticks
from spikecheck.charts.words import cut, one_line, width_of, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.charts.chart import Chart
    from spikecheck.charts.frame import Frame
    from spikecheck.charts.shapes import Shape

_SAMPLE = 26.0  # width of a sample in the key
_ROW = TEXT * LINE_HEIGHT
_TICK_ROOM = 56.0
_SLANT_DEG = 45.0
_SLANTED_ROOM = 96.0  # longest name that is written slanted, along its line


def key_rows(chart: Chart, left: float, top: float, room: float) -> tuple[list[Shape], float]:
    """Return samples of series and bands with their names, and where they end below."""
    entries: list[tuple[str, int | None]] = [
        (name, number)
        for number, series in enumerate(chart.series)
        if (name := one_line(series.name))
    ]
    entries += [(name, None) for band in chart.bands if (name := one_line(band.name))]
    shapes: list[Shape] = []
    x, y = left, top
    for place, (name, number) in enumerate(entries):
        shown = cut(name, TEXT, room - _SAMPLE - 6)
        wide = _SAMPLE + 6 + width_of(shown, TEXT) + 12
        if place == 0 or x + wide - 12 > left + room:
            x, y = left, y + _ROW
        shapes += _sample(chart, number, x, y - 5)
        shapes.append(Words((x + _SAMPLE + 6, y - 1), shown, TEXT))
        x += wide
    return shapes, y + (4 if entries else 0)


def _sample(chart: Chart, number: int | None, x: float, y: float) -> Iterator[Shape]:
    if number is None:
        corners = ((x, y - 5), (x + _SAMPLE, y - 5), (x + _SAMPLE, y + 5), (x, y + 5))
        yield Area(corners, BAND_FILL, BAND_EDGE)
        return
    series = chart.series[number]
    if series.joined:
        yield stroke(((x, y), (x + _SAMPLE, y)), look(number))
    if series.marked or not series.joined:
        yield mark((x + _SAMPLE / 2, y), look(number))


def y_axis(seen: Frame) -> Iterator[Shape]:
    """Draw lines across at round values, each with its value at the left."""
    for value, word in zip(seen.y_ticks.at, seen.y_ticks.words(), strict=True):
        y = seen.y(value)
        yield Line(((seen.left, y), (seen.right, y)), GRID, 1.0)
        yield Words((seen.left - 6, y + 0.35 * TEXT), word, TEXT, Anchor.END)
    yield Line(((seen.left, seen.top), (seen.left, seen.bottom)), AXIS, 1.0)


def x_axis(chart: Chart, seen: Frame, width: float) -> tuple[list[Shape], float]:
    """Return the x axis with what stands under it, and the height of the whole picture."""
    shapes: list[Shape] = [Line(((seen.left, seen.bottom), (seen.right, seen.bottom)), AXIS, 1.0)]
    below, deep = _names(chart, seen) if chart.x_names else _numbers(chart, seen)
    shapes += below
    y = seen.bottom + deep
    for line in wrapped(chart.x_name, TEXT, width - 12, most_lines=2):
        y += _ROW
        centre = (seen.left + seen.right) / 2
        half = width_of(line, TEXT) / 2
        shapes.append(Words((max(centre, half + 6), y), line, TEXT, Anchor.MIDDLE))
    return shapes, y + 8


def _numbers(chart: Chart, seen: Frame) -> tuple[list[Shape], float]:
    known = x_values(chart)
    marked = ticks(
        *seen.x_ends,
        most=int((seen.right - seen.left) / _TICK_ROOM) + 1,
        as_percent=chart.x_percent,
        whole=bool(known) and all(float(value).is_integer() for value in known),
    )
    shapes: list[Shape] = []
    for value, word in zip(marked.at, marked.words(), strict=True):
        x = seen.x(value)
        shapes.append(Line(((x, seen.bottom), (x, seen.bottom + 4)), AXIS, 1.0))
        shapes.append(Words((x, seen.bottom + 6 + TEXT), word, TEXT, Anchor.MIDDLE))
    return shapes, 6 + TEXT + 4


def _names(chart: Chart, seen: Frame) -> tuple[list[Shape], float]:
    """Write names level where all fit, else slanted, and then only as many as have room."""
    names = [one_line(name) for name in chart.x_names]
    apart = seen.x(1) - seen.x(0)
    level = all(width_of(name, TEXT) + 6 <= apart for name in names)
    every = 1 if level else math.ceil(_ROW / (apart * math.sin(math.radians(_SLANT_DEG))))
    shown = [
        (seen.x(at), name if level else cut(name, TEXT, _SLANTED_ROOM))
        for at, name in enumerate(names)
        if at % every == 0
    ]
    shapes: list[Shape] = []
    for x, name in shown:
        shapes.append(Line(((x, seen.bottom), (x, seen.bottom + 4)), AXIS, 1.0))
        if level:
            shapes.append(Words((x, seen.bottom + 6 + TEXT), name, TEXT, Anchor.MIDDLE))
        else:
            place = (x + 4, seen.bottom + 6 + 0.7 * TEXT)
            room = min(_SLANTED_ROOM, (x - 2) / 0.72)
            shapes.append(Words(place, cut(name, TEXT, room), TEXT, Anchor.END, turned=_SLANT_DEG))
    longest = max(width_of(name, TEXT) for _x, name in shown)
    return shapes, 6 + TEXT + (4 if level else 0.72 * longest)


def names_of_levels(chart: Chart, seen: Frame) -> Iterator[Shape]:
    """Write the names of levels beside them, moved apart where they would overlap."""
    known = [
        (seen.y(level.y), name)
        for level, name in zip(chart.levels, seen.level_names, strict=True)
        if finite((level.y,))
    ]
    free = seen.top - _ROW / 2
    for y, name in sorted(known):
        tall = len(name) * _ROW
        top = max(y - tall / 2, free)
        free = top + tall + 2
        for number, line in enumerate(name):
            yield Words((seen.right + 6, top + number * _ROW + TEXT), line, TEXT)
