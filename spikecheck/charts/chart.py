"""What a chart shows, before anybody draws it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Series:
    """Points that belong together.

    Parameters
    ----------
    name
        For the key; empty leaves it out of the key.
    points
        Each (x, y), in the chart's units, in the order they are joined.
    joined
        Whether a line joins them.
    marked
        Whether each point has a mark.
    flagged
        Indices of points that are drawn to stand out.
    """

    name: str
    points: tuple[tuple[float, float], ...]
    joined: bool = True
    marked: bool = False
    flagged: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Band:
    """An interval at each x: (x, low, high)."""

    name: str
    points: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Level:
    """A straight line at a y, such as a limit."""

    name: str
    y: float


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart of lines and points.

    Parameters
    ----------
    title
        What it shows, a few words.
    told
        What is to be seen in it, a sentence or two: for those who cannot see it.
    x_name, y_name
        With units.
    series, bands, levels
        What is drawn.
    y_percent
        Whether y values are shares 0..1 shown as per cent.
    x_names
        Words in place of numbers under the x axis, at x = 0, 1, ...; empty for numbers.
    """

    title: str
    told: str
    x_name: str
    y_name: str
    series: tuple[Series, ...] = ()
    bands: tuple[Band, ...] = ()
    levels: tuple[Level, ...] = ()
    y_percent: bool = False
    x_names: tuple[str, ...] = ()
