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
    stepped
        Whether the line stays at a value until the next one, as what is counted in wholes does.
    """

    name: str
    points: tuple[tuple[float, float], ...]
    joined: bool = True
    marked: bool = False
    flagged: tuple[int, ...] = ()
    stepped: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """An interval at each x: (x, low, high).

    Where words stand under the x axis each interval is a column of its own, else they are joined.
    """

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

    A point with a value that is not finite is left out, and the line has a gap there.

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
    x_percent, y_percent
        Whether values are shares 0..1 shown as per cent.
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
    x_percent: bool = False
    y_percent: bool = False
    x_names: tuple[str, ...] = ()
