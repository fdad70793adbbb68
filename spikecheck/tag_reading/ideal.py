"""The tag as it should look: the parts every tag has alike, and the pieces to find again.

The picture is flat, upright and of ``PX_PER_MM``; places on the tag are (x, y), mm from its upper
left corner, as in the layout.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.vocabulary.tag_layout import (
    GREY_STEPS,
    QR,
    QR_MODULE_MM,
    QR_MODULES,
    QR_SIDE_MM,
    RULER_CM,
    RULER_LEFT_MM,
    TAG_HEIGHT_MM,
    TAG_WIDTH_MM,
    Rectangle,
    grey_step,
    ruler_ticks,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

PX_PER_MM = 10
"""A module is 8 px, a tick 2."""
FLAT_SIZE = (round(TAG_WIDTH_MM * PX_PER_MM), round(TAG_HEIGHT_MM * PX_PER_MM))
"""Columns and rows."""

_FINER = 4  # drawn so many times larger, then averaged: ticks end between pixels
_BLUR_PX = 0.8  # no printer or camera makes an edge sharper
_MODULE_PX = round(QR_MODULE_MM * PX_PER_MM)
_QR_PIECES, _QR_PIECE_MM = 5, 5.0
_HALF_MM = 2.5  # of the pieces along the ruler; no figure of it comes so near
_UPPER = (26.5, 30.5)  # foot of the ticks and upper edge of the grey steps
_LOWER = (29.9, 33.7)  # lower edge of the grey steps; the cut may run close below


@dataclass(frozen=True, slots=True)
class Piece:
    """A rectangle of the print that can be found again by its look.

    Parameters
    ----------
    place
        Where it is on the tag.
    on_symbol
        Whether it is part of the QR symbol.
    """

    place: Rectangle
    on_symbol: bool

    @property
    def centre(self) -> tuple[float, float]:
        """Its middle, (x, y), mm."""
        return (self.place.left + self.place.right) / 2, (self.place.top + self.place.bottom) / 2


@cache
def pieces() -> tuple[Piece, ...]:
    """Return all pieces: of the symbol, then along ruler and grey steps from left to right."""
    step = (QR_SIDE_MM - 2 * 2.0) / (_QR_PIECES - 1)
    found = []
    for row in range(_QR_PIECES):
        for column in range(_QR_PIECES):
            x, y = QR.left + 2.0 + column * step, QR.top + 2.0 + row * step
            half = _QR_PIECE_MM / 2
            found.append(Piece(Rectangle(x - half, y - half, x + half, y + half), on_symbol=True))
    for number in range(RULER_CM + 1):
        x = RULER_LEFT_MM + 10 * number
        for top, bottom in (_UPPER, _LOWER):
            place = Rectangle(x - _HALF_MM, top, x + _HALF_MM, bottom)
            found.append(Piece(place, on_symbol=False))
    return tuple(found)


def ideal_picture(modules: NDArray[np.bool_]) -> NDArray[np.uint8]:
    """Return the tag with the symbol ``modules`` (True dark), uint8 of shape (rows, columns)."""
    picture = _blank().copy()
    dark = np.kron(modules, np.ones((_MODULE_PX, _MODULE_PX), bool))
    top, left = round(QR.top * PX_PER_MM), round(QR.left * PX_PER_MM)
    area = picture[top : top + dark.shape[0], left : left + dark.shape[1]]
    area[dark] = 0
    return np.asarray(cv2.GaussianBlur(picture, (0, 0), _BLUR_PX), np.uint8)


def seen_modules(flat: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Return which modules are dark in a flat picture of a tag, bool of shape (21, 21).

    A module is dark if its middle is darker than halfway between the darkest and the lightest
    around it, seven modules wide as a finder pattern: so wide there are always both.
    """
    top, left = round(QR.top * PX_PER_MM), round(QR.left * PX_PER_MM)
    side = QR_MODULES * _MODULE_PX
    area = flat[top : top + side, left : left + side].reshape(
        QR_MODULES, _MODULE_PX, QR_MODULES, _MODULE_PX
    )
    quarter = _MODULE_PX // 4
    inner = area[:, quarter:-quarter, :, quarter:-quarter]
    middles = np.asarray(inner.mean(axis=(1, 3)), np.float32)
    around = np.ones((7, 7), np.uint8)
    low, high = cv2.erode(middles, around), cv2.dilate(middles, around)
    low, high = (cv2.blur(each, (7, 7)) for each in (low, high))
    return np.asarray(middles < (low + high) / 2, np.bool_)


@cache
def _blank() -> NDArray[np.uint8]:
    """Return ruler and grey steps on white."""
    fine = PX_PER_MM * _FINER
    picture = np.full((FLAT_SIZE[1] * _FINER, FLAT_SIZE[0] * _FINER), 255, np.uint8)
    places = [(tick, 0) for tick in ruler_ticks()]
    places += [(grey_step(number), code) for number, code in enumerate(GREY_STEPS)]
    for place, code in places:
        rows = slice(round(place.top * fine), round(place.bottom * fine))
        columns = slice(round(place.left * fine), round(place.right * fine))
        picture[rows, columns] = code
    return np.asarray(cv2.resize(picture, FLAT_SIZE, interpolation=cv2.INTER_AREA), np.uint8)
