"""A photo as a person who practises sees it: with their own marks, and afterwards with the truth.

Shape and colour say the same: a circle is a leftover that was found, a triangle one that was
missed, a square a mark on nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.canvas import Canvas, text_width_px
from spikecheck.imaging.marks import INK, SKY_BLUE, VERMILLION, YELLOW, Shape

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.marks import Colour
    from spikecheck.imaging.view import View
    from spikecheck.vocabulary.geometry import Point
    from spikecheck.vocabulary.photo import Photo

_RING_PX = 24  # radius: clear of an anther's middle, so that the anther itself stays in sight
_TEXT_PX = 26
_CROSS_PX = (10, 30)  # from where to where the arms of the cross reach


def draw_own_marks(
    photo: Photo, region: View, marks: Sequence[Point], *, cross: bool
) -> NDArray[np.uint8]:
    """Return a region with the person's marks, numbered from 1.

    Parameters
    ----------
    photo
        The photo.
    region
        What to show of it.
    marks
        Where the person marked, in the photo.
    cross
        Whether a cross shows the middle of the region, where a mark by keyboard goes.

    Returns
    -------
    ndarray of uint8, shape (region.rows, region.columns, 3)
        RGB.
    """
    canvas = Canvas(region.cut(photo))
    if cross:
        _cross(canvas)
    for number, place in enumerate(marks, start=1):
        _sign(canvas, region, place, (Shape.CIRCLE, YELLOW), str(number))
    return canvas.pixels


def draw_truth(
    photo: Photo,
    region: View,
    *,
    found: Sequence[tuple[int, Point]],
    missed: Sequence[tuple[int, Point]],
    astray: Sequence[Point],
) -> NDArray[np.uint8]:
    """Return a region with what was found, missed and marked on nothing.

    Parameters
    ----------
    photo, region
        As in :func:`draw_own_marks`.
    found, missed
        Number and middle of each leftover.
    astray
        Marks on nothing.

    Returns
    -------
    ndarray of uint8, shape (region.rows, region.columns, 3)
        RGB.
    """
    canvas = Canvas(region.cut(photo))
    for place in astray:
        _sign(canvas, region, place, (Shape.SQUARE, YELLOW), "")
    for leftovers, shape, colour in (
        (found, Shape.CIRCLE, SKY_BLUE),
        (missed, Shape.TRIANGLE, VERMILLION),
    ):
        for number, place in leftovers:
            _sign(canvas, region, place, (shape, colour), str(number))
    return canvas.pixels


def _sign(canvas: Canvas, view: View, place: Point, sign: tuple[Shape, Colour], words: str) -> None:
    row, column = view.place(np.array([place.row, place.column])).tolist()
    shape, colour = sign
    canvas.mark(shape, (row, column), radius_px=_RING_PX, colour=colour, width_px=3)
    rows, columns = canvas.pixels.shape[:2]
    inside = -_RING_PX <= row < rows + _RING_PX and -_RING_PX <= column < columns + _RING_PX
    if words and inside:
        right = columns - text_width_px(words, size_px=_TEXT_PX) - 6
        beside = (max(row - _RING_PX, _TEXT_PX), min(max(column + _RING_PX, 6), right))
        canvas.tag(words, beside, size_px=_TEXT_PX)


def _cross(canvas: Canvas) -> None:
    rows, columns = canvas.pixels.shape[:2]
    middle = np.array([rows / 2, columns / 2])
    near, far = _CROSS_PX
    for arm in ((0, 1), (0, -1), (1, 0), (-1, 0)):
        ends = middle + np.array([[near], [far]]) * np.array(arm)
        canvas.line(ends, colour=INK, width_px=2, rim_px=1)
