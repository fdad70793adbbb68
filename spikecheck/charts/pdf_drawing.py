"""A chart as a drawing that reportlab puts into a PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.charts.layout import picture
from spikecheck.charts.looks import INK
from spikecheck.charts.shapes import Anchor, Area, Line, Ring, Words

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from reportlab.graphics import shapes as drawn

    from spikecheck.charts.chart import Chart
    from spikecheck.charts.shapes import Places, Shape

_WIDTH_PT = 480.0


def standard_fonts(text: str, bold: bool) -> Sequence[tuple[str, str]]:  # noqa: FBT001  (as called)
    """Set all of a text in the Latin fonts that every PDF viewer has (ISO 32000-1, 9.6.2.2)."""
    return [("Helvetica-Bold" if bold else "Helvetica", text)]


def drawing(
    chart: Chart,
    *,
    width: float = _WIDTH_PT,
    fonts: Callable[[str, bool], Sequence[tuple[str, str]]] = standard_fonts,
) -> drawn.Drawing:
    """Return a chart as a drawing.

    Parameters
    ----------
    chart
        What to show.
    width
        Width it is laid out for, points; its text is 12 points high.
    fonts
        Splits a text, bold or not, into parts, each with the name of a font that reportlab knows.
    """
    from reportlab.graphics.shapes import Drawing

    laid = picture(chart, width)
    target = Drawing(laid.width, laid.height)
    for shape in laid.shapes:
        for part in _parts(shape, laid.height, fonts):
            target.add(part)
    return target


def _parts(
    shape: Shape, height: float, fonts: Callable[[str, bool], Sequence[tuple[str, str]]]
) -> list[drawn.Shape]:
    from reportlab.graphics.shapes import Circle, Polygon, PolyLine
    from reportlab.lib.colors import HexColor

    if isinstance(shape, Line):
        return [
            PolyLine(
                _flat(shape.places, height), strokeColor=HexColor(shape.colour),
                strokeWidth=shape.width, strokeDashArray=list(shape.dash) or None, strokeLineJoin=1,
            )
        ]  # fmt: skip
    if isinstance(shape, Area):
        edge = HexColor(shape.edge) if shape.edge else None
        fill = HexColor(shape.fill)
        return [Polygon(_flat(shape.places, height), fillColor=fill, strokeColor=edge)]
    if isinstance(shape, Ring):
        x, y = shape.centre
        return [
            Circle(
                x, height - y, shape.radius, fillColor=HexColor(shape.fill) if shape.fill else None,
                strokeColor=HexColor(shape.edge), strokeWidth=shape.width,
            )
        ]  # fmt: skip
    return [_written(shape, height, fonts(shape.text, shape.bold))]


def _written(words: Words, height: float, parts: Sequence[tuple[str, str]]) -> drawn.Shape:
    """Write parts of a line one after the other, each in its font."""
    from reportlab.graphics.shapes import Group, String
    from reportlab.lib.colors import HexColor
    from reportlab.pdfbase.pdfmetrics import stringWidth

    widths = [stringWidth(text, font, words.size) for font, text in parts]
    share = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[words.anchor]
    x = -share * sum(widths)
    line = Group()
    for (font, text), wide in zip(parts, widths, strict=True):
        line.add(String(x, 0, text, fontName=font, fontSize=words.size, fillColor=HexColor(INK)))
        x += wide
    line.translate(words.place[0], height - words.place[1])
    line.rotate(words.turned)
    return line


def _flat(places: Places, height: float) -> list[float]:
    return [value for x, y in places for value in (x, height - y)]
