"""A region of a photo, enlarged, with the marks of a person in it; and the way back from a click.

Marks that a person made have whole lines, proposals of the check dashed ones and a question mark.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.canvas import Canvas, shape_corners, text_width_px
from spikecheck.imaging.marks import INK, SKY_BLUE, VERMILLION, YELLOW, Shape
from spikecheck.imaging.view import View
from spikecheck.vocabulary.geometry import Point
from spikecheck.vocabulary.truth import TrueFloret

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.marks import Colour
    from spikecheck.vocabulary.geometry import Box
    from spikecheck.vocabulary.photo import Photo
    from spikecheck.vocabulary.truth import TrueAnther

ZOOMS = (1, 2, 4, 8, 16)
"""How many times a region may be enlarged; 1 is the whole photo."""
REGION_PX = 900
"""Longer side of the enlarged region: a phone shows 390 px at two to three device pixels each."""
MAP_PX = 360
"""Longer side of the small map."""
_RING_PX = 24  # radius: clear of an anther's middle, so that the anther itself stays in sight
_TEXT_PX = 22
_DASHES = 14


def whole_view(width: int, height: int, *, longest_px: int) -> View:
    """Return the whole photo of this size, shown with its longer side at ``longest_px``."""
    return View(0, 0, height, width, longest_px / max(width, height))


def region_view(width: int, height: int, *, centre: Point, zoom: float) -> View:
    """Return the region about ``centre``, moved so that all of it lies in the photo.

    Parameters
    ----------
    width, height
        Size of the photo, px.
    centre
        Wanted middle.
    zoom
        At least 1: the region's side is the photo's longer side divided by it.
    """
    side_px = max(1, round(max(width, height) / zoom))
    rows, columns = min(side_px, height), min(side_px, width)
    top = int(np.clip(round(centre.row - rows / 2), 0, height - rows))
    left = int(np.clip(round(centre.column - columns / 2), 0, width - columns))
    return View(top, left, top + rows, left + columns, REGION_PX / max(rows, columns))


def clicked_place(view: View, *, x_share: float, y_share: float) -> Point:
    """Return the place in the photo that was clicked.

    Parameters
    ----------
    view
        What was shown.
    x_share, y_share
        Where, as shares of the shown width and height from the top left, 0..1.
    """
    row = view.top + np.clip(y_share, 0, 1) * (view.bottom - view.top) - 0.5
    column = view.left + np.clip(x_share, 0, 1) * (view.right - view.left) - 0.5
    return Point(max(0.0, float(row)), max(0.0, float(column)))


def draw_map(photo: Photo, region: View, places: Sequence[Point]) -> NDArray[np.uint8]:
    """Return the whole photo, small, with the region framed and a dot at every mark."""
    view = whole_view(photo.width, photo.height, longest_px=MAP_PX)
    canvas = Canvas(view.cut(photo))
    for place in places:
        canvas.mark(Shape.CIRCLE, _at(view, place), radius_px=4, colour=VERMILLION, filled=True)
    frame = np.array(
        [[region.top, region.left], [region.top, region.right],
         [region.bottom, region.right], [region.bottom, region.left]], np.float64
    )  # fmt: skip
    canvas.line(view.place_inside(frame), colour=INK, width_px=2, closed=True)
    return canvas.pixels


def draw_region(
    photo: Photo,
    region: View,
    *,
    anthers: Sequence[TrueAnther],
    florets: Sequence[TrueFloret],
    proposals: Sequence[tuple[int, TrueAnther | TrueFloret]],
    axis: Sequence[Point] = (),
) -> NDArray[np.uint8]:
    """Return the region enlarged, with marks and numbered proposals.

    Parameters
    ----------
    photo
        The photo.
    region
        What to show of it.
    anthers, florets
        Marks; anthers are numbered from 1 in this order, florets carry their ids.
    proposals
        Number and what is proposed.
    axis
        Marked axis from base to tip; none when empty.

    Returns
    -------
    ndarray of uint8, shape (region.rows, region.columns, 3)
        RGB.
    """
    canvas = Canvas(region.cut(photo))
    if axis:
        line = region.place(np.array([(point.row, point.column) for point in axis]))
        canvas.line(line, colour=INK, width_px=1, rim_px=1)
        for words, (row, column) in (("base", line[0]), ("tip", line[-1])):
            _words(canvas, words, row, column)
    for number, mark in proposals:
        if isinstance(mark, TrueFloret):
            _frame(canvas, region, mark.box, f"?{number}", YELLOW, dashed=True)
        else:
            _ring(canvas, region, mark.centre, f"?{number}", YELLOW, dashed=True)
    for floret in florets:
        _frame(canvas, region, floret.box, floret.id, SKY_BLUE, dashed=False)
    for number, anther in enumerate(anthers, start=1):
        stage = "" if anther.stage is None else f" {anther.stage}"
        _ring(canvas, region, anther.centre, f"{number}{stage}", VERMILLION, dashed=False)
    return canvas.pixels


def _ring(
    canvas: Canvas, view: View, centre: Point, words: str, colour: Colour, *, dashed: bool
) -> None:
    row, column = _at(view, centre)
    corners = shape_corners(Shape.CIRCLE) * _RING_PX + (row, column)
    _outline(canvas, corners, colour, dashed=dashed)
    _words(canvas, words, row - _RING_PX, column + _RING_PX)


def _frame(
    canvas: Canvas, view: View, box: Box, words: str, colour: Colour, *, dashed: bool
) -> None:
    top, left = _at(view, Point(box.top, box.left))
    bottom, right = _at(view, Point(box.bottom, box.right))
    corners = np.array([[top, left], [top, right], [bottom, right], [bottom, left]])
    steps = np.linspace(0, 1, 10, endpoint=False)[:, None]
    sides = [a + (b - a) * steps for a, b in zip(corners, np.roll(corners, -1, 0), strict=True)]
    _outline(canvas, np.concatenate(sides), colour, dashed=dashed)
    _words(canvas, words, top, left + 8)


def _outline(canvas: Canvas, corners: NDArray[np.float64], colour: Colour, *, dashed: bool) -> None:
    if not dashed:
        canvas.line(corners, colour=colour, width_px=3, closed=True)
        return
    ring = np.concatenate([corners, corners[:1]])
    for dash in np.array_split(np.arange(len(corners)), _DASHES)[::2]:
        canvas.line(ring[dash[0] : dash[-1] + 2], colour=colour, width_px=3)


def _words(canvas: Canvas, words: str, row: float, column: float) -> None:
    """Write beside a mark, moved inwards where it would run out of the picture."""
    rows, columns = canvas.pixels.shape[:2]
    wide_px = text_width_px(words, size_px=_TEXT_PX)
    inside = -_RING_PX <= row < rows + _RING_PX and -2 * _RING_PX <= column < columns + _RING_PX
    if inside:
        column = min(column, columns - wide_px - 6)
        canvas.tag(words, (max(row, _TEXT_PX), max(column, 6)), size_px=_TEXT_PX)


def _at(view: View, place: Point) -> tuple[float, float]:
    row, column = view.place(np.array([place.row, place.column])).tolist()
    return row, column
