"""A chart as SVG 1.1 text, for pages."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from spikecheck.charts.layout import PHONE_WIDTH, picture
from spikecheck.charts.looks import INK
from spikecheck.charts.shapes import Anchor, Area, Line, Ring

if TYPE_CHECKING:
    from spikecheck.charts.chart import Chart
    from spikecheck.charts.shapes import Places, Shape, Words


def svg(chart: Chart, *, width: float = PHONE_WIDTH) -> str:
    """Return a chart as one ``<svg>`` element, without ids, styles or scripts.

    Parameters
    ----------
    chart
        What to show.
    width
        Width it is laid out for, CSS pixels; it scales to the room it is given.

    Returns
    -------
    str
        The element, in the fonts of what it stands in. It is the same for the same chart.
    """
    laid = picture(chart, width)
    drawn = "".join(map(_element, laid.shapes))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(laid.width)} {_n(laid.height)}" '
        f'width="{_n(laid.width)}" height="{_n(laid.height)}" role="img" '
        f'aria-label="{escape(laid.title)}" font-family="inherit, system-ui, sans-serif">'
        f"<title>{escape(laid.title)}</title><desc>{escape(laid.told)}</desc>{drawn}</svg>"
    )


def _element(shape: Shape) -> str:
    if isinstance(shape, Line):
        dash = f' stroke-dasharray="{" ".join(map(_n, shape.dash))}"' if shape.dash else ""
        return (
            f'<polyline points="{_points(shape.places)}" fill="none" stroke="{shape.colour}" '
            f'stroke-width="{_n(shape.width)}" stroke-linejoin="round"{dash}/>'
        )
    if isinstance(shape, Area):
        edge = f' stroke="{shape.edge}"' if shape.edge else ""
        return f'<polygon points="{_points(shape.places)}" fill="{shape.fill}"{edge}/>'
    if isinstance(shape, Ring):
        (x, y), radius = shape.centre, shape.radius
        return (
            f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" fill="{shape.fill or "none"}" '
            f'stroke="{shape.edge}" stroke-width="{_n(shape.width)}"/>'
        )
    return _text(shape)


def _text(words: Words) -> str:
    x, y = map(_n, words.place)
    more = "" if words.anchor is Anchor.START else f' text-anchor="{words.anchor}"'
    more += ' font-weight="bold"' if words.bold else ""
    more += f' transform="rotate({_n(-words.turned)} {x} {y})"' if words.turned else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{_n(words.size)}" fill="{INK}"{more}>'
        f"{escape(words.text)}</text>"
    )


def _points(places: Places) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in places)


def _n(value: float) -> str:
    """Return a number with a tenth of a unit at most, and no minus nought."""
    return f"{round(value, 1) + 0.0:g}"
