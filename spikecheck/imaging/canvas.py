"""Draws lines, marks and text with a dark rim, antialiased, into an RGB picture.

Lines and shapes by OpenCV, text by Pillow in the font it carries (``ImageFont.load_default``), so
that a picture looks the same on every machine.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from spikecheck.imaging.marks import INK, RIM, Shape

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.marks import Colour

_FRACTION_BITS = 4  # OpenCV draws at sixteenths of a pixel
_FAR_PX = 30_000  # beyond this no part of a line shows, and fixed-point drawing would overflow
_CIRCLE_CORNERS = 40


@cache
def font(size_px: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    """Return the text font at a height of ``size_px``."""
    return ImageFont.load_default(size_px)


def text_width_px(text: str, *, size_px: int) -> int:
    """Return how wide ``text`` is, px."""
    return int(np.ceil(font(size_px).getlength(text)))


class Canvas:
    """A picture being drawn on.

    Parameters
    ----------
    pixels
        uint8 array of shape (rows, columns, 3), RGB; drawn on in place. All coordinates are
        (row, column) of this array, px; whatever lies outside is left out.
    """

    def __init__(self, pixels: NDArray[np.uint8]) -> None:
        self.pixels = pixels

    def line(
        self,
        points: NDArray[np.float64],
        *,
        colour: Colour,
        width_px: int,
        closed: bool = False,
        rim_px: int = 2,
    ) -> None:
        """Draw a line through ``points``, shape (N, 2), over a rim of ``rim_px`` on both sides."""
        corners = _fixed(points)
        for stroke, shade in ((width_px + 2 * rim_px, RIM), (width_px, colour)):
            cv2.polylines(
                self.pixels, [corners], closed, shade, stroke, cv2.LINE_AA, _FRACTION_BITS
            )

    def mark(
        self,
        shape: Shape,
        centre: tuple[float, float],
        *,
        radius_px: float,
        colour: Colour,
        width_px: int = 2,
        filled: bool = False,
    ) -> None:
        """Draw ``shape`` about ``centre``, filled or hollow."""
        corners = shape_corners(shape) * radius_px + np.asarray(centre)
        if filled:
            self.line(corners, colour=RIM, width_px=2, closed=True)
            cv2.fillPoly(self.pixels, [_fixed(corners)], colour, cv2.LINE_AA, _FRACTION_BITS)
        else:
            self.line(corners, colour=colour, width_px=width_px, closed=True)

    def plate(self, top: float, left: float, bottom: float, right: float) -> None:
        """Fill a dark rectangle for text to stand on."""
        corners = np.array([[top, left], [top, right], [bottom, right], [bottom, left]])
        cv2.fillPoly(self.pixels, [_fixed(corners)], RIM, cv2.LINE_AA, _FRACTION_BITS)

    def text(
        self,
        text: str,
        place: tuple[float, float],
        *,
        size_px: int,
        colour: Colour = INK,
        bold: bool = False,
    ) -> None:
        """Write ``text`` with its middle line at ``place``'s row, starting at its column."""
        height, width = 2 * size_px, text_width_px(text, size_px=size_px) + size_px
        ink = Image.new("L", (width, height), 0)
        ImageDraw.Draw(ink).text(
            (size_px // 4, size_px), text, fill=255, font=font(size_px), anchor="lm",
            stroke_width=max(1, size_px // 28) if bold else 0,
        )  # fmt: skip
        self._blend(
            np.asarray(ink), round(place[0]) - size_px, round(place[1]) - size_px // 4, colour
        )

    def tag(self, text: str, place: tuple[float, float], *, size_px: int) -> None:
        """Write ``text`` as :meth:`text` does, on a dark plate."""
        row, column = place
        wide = text_width_px(text, size_px=size_px)
        self.plate(row - 0.65 * size_px, column - 4, row + 0.65 * size_px, column + wide + 4)
        self.text(text, place, size_px=size_px)

    def _blend(self, ink: NDArray[np.uint8], top: int, left: int, colour: Colour) -> None:
        rows, columns = self.pixels.shape[:2]
        row0, column0 = max(top, 0), max(left, 0)
        row1, column1 = min(top + ink.shape[0], rows), min(left + ink.shape[1], columns)
        if row0 >= row1 or column0 >= column1:
            return
        share = ink[row0 - top : row1 - top, column0 - left : column1 - left, None] / np.float32(
            255
        )
        under = self.pixels[row0:row1, column0:column1]
        mixed = under * (1 - share) + np.asarray(colour, np.float32) * share
        self.pixels[row0:row1, column0:column1] = np.rint(mixed).astype(np.uint8)


def shape_corners(shape: Shape) -> NDArray[np.float64]:
    """Return the corners of ``shape``, float64 of shape (N, 2), (row, column), about the origin.

    All shapes have about the area of a circle of radius 1, so that none looks more important.
    """
    if shape is Shape.CIRCLE:
        angle = np.linspace(0, 2 * np.pi, _CIRCLE_CORNERS, endpoint=False)
        return np.stack([np.sin(angle), np.cos(angle)], axis=1)
    if shape is Shape.SQUARE:
        half = np.sqrt(np.pi) / 2
        return np.asarray(half * np.array([[-1.0, -1.0], [-1.0, 1.0], [1.0, 1.0], [1.0, -1.0]]))
    if shape is Shape.DIAMOND:
        reach = np.sqrt(np.pi / 2)
        return np.asarray(reach * np.array([[-1.0, 0.0], [0.0, 1.0], [1.0, 0.0], [0.0, -1.0]]))
    reach = np.sqrt(4 * np.pi / (3 * np.sqrt(3)))
    angle = np.deg2rad([-90.0, 30.0, 150.0])
    return np.asarray(reach * np.stack([np.sin(angle), np.cos(angle)], axis=1))


def _fixed(points: NDArray[np.float64] | Sequence[Sequence[float]]) -> NDArray[np.int32]:
    """Return (row, column) points as OpenCV's (x, y) in fixed point."""
    near = np.clip(np.asarray(points, np.float64), -_FAR_PX, _FAR_PX)
    return np.asarray(np.rint(near[:, ::-1] * 2**_FRACTION_BITS), np.int32)
