"""Draws a reliability diagram: how often it happened against how likely it was said to be."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.evaluation.reliability import ReliabilityBin

_SIDE_PX, _MARGIN_PX, _DOT_PX = 360, 56, 4
_INK, _PAPER, _GUIDE = (30, 30, 30), (255, 255, 255), (190, 190, 190)
# Told apart by form too: dots, then squares. Blue and orange of Okabe & Ito (2008).
_COLOURS = ((0, 114, 178), (213, 94, 0))
_TICKS = (0.0, 0.25, 0.5, 0.75, 1.0)


def reliability_png(kinds: Mapping[str, Sequence[ReliabilityBin]]) -> bytes:
    """Return the diagram as PNG: one mark a bin with Wilson's interval, for up to two kinds.

    Parameters
    ----------
    kinds
        Bins by what the probabilities are of.
    """
    width, height = _SIDE_PX + 2 * _MARGIN_PX, _SIDE_PX + 2 * _MARGIN_PX
    image = Image.new("RGB", (width, height), _PAPER)
    draw = ImageDraw.Draw(image)
    for tick in _TICKS:
        x, y = _place(tick, tick)
        draw.line([(x, _MARGIN_PX), (x, _MARGIN_PX + _SIDE_PX)], _GUIDE)
        draw.line([(_MARGIN_PX, y), (_MARGIN_PX + _SIDE_PX, y)], _GUIDE)
        draw.text((x - 10, _MARGIN_PX + _SIDE_PX + 6), f"{tick:g}", _INK)
        draw.text((_MARGIN_PX - 32, y - 6), f"{tick:g}", _INK)
    draw.line([_place(0, 0), _place(1, 1)], _INK)
    draw.text((_MARGIN_PX, height - 24), "said probability that an anther shows", _INK)
    draw.text((8, 8), "share in which one does, with 95 % interval", _INK)
    for number, (name, bins) in enumerate(kinds.items()):
        colour = _COLOURS[number % len(_COLOURS)]
        for each in bins:
            _mark(draw, each, colour, square=bool(number))
        place = (_MARGIN_PX + 12.0, _MARGIN_PX + 8.0 + 18 * number)
        _dot(draw, (place[0], place[1] + 6), colour, square=bool(number))
        draw.text((place[0] + 12, place[1]), name, colour)
    file = BytesIO()
    image.save(file, "PNG")
    return file.getvalue()


def _mark(
    draw: ImageDraw.ImageDraw, each: ReliabilityBin, colour: tuple[int, int, int], *, square: bool
) -> None:
    low, high = each.happened.wilson or (0.0, 1.0)
    draw.line([_place(each.mean, low), _place(each.mean, high)], colour)
    _dot(draw, _place(each.mean, each.happened.share or 0.0), colour, square=square)


def _dot(
    draw: ImageDraw.ImageDraw,
    place: tuple[float, float],
    colour: tuple[int, int, int],
    *,
    square: bool,
) -> None:
    x, y = place
    box = (x - _DOT_PX, y - _DOT_PX, x + _DOT_PX, y + _DOT_PX)
    if square:
        draw.rectangle(box, fill=colour)
    else:
        draw.ellipse(box, fill=colour)


def _place(across: float, up: float) -> tuple[float, float]:
    return _MARGIN_PX + across * _SIDE_PX, _MARGIN_PX + (1 - up) * _SIDE_PX
