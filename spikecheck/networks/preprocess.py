"""What a network is shown: the whole photo in a square, or a strip; shared with training."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

OVERVIEW_SIDE_PX = 512
"""Rows and columns of the square the overview network sees."""
STRIP_MULTIPLE_PX = 32
"""Rows and columns of a strip are whole multiples of this."""
CELL_PX = 4
"""Pixels of the input, each way, that one cell of a network's maps stands for."""
_GREY = np.float32(0.5)


@dataclass(frozen=True, slots=True)
class Letterbox:
    """Where a photo lies in the square it was put in, top-left.

    Parameters
    ----------
    rows, columns
        Of the square, how many the photo takes.
    row_zoom, column_zoom
        Pixels of the square per pixel of the photo; they differ by rounding to whole pixels.
    """

    rows: int
    columns: int
    row_zoom: float
    column_zoom: float

    def to_photo(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return places (row, column), shape (..., 2), in px of the square as px of the photo."""
        zoom: NDArray[np.float64] = np.array([self.row_zoom, self.column_zoom])
        return (places + 0.5) / zoom - 0.5


def letterbox(pixels: NDArray[np.uint8]) -> tuple[NDArray[np.float32], Letterbox]:
    """Put a photo into the square the overview network sees.

    Parameters
    ----------
    pixels
        uint8 of shape (rows, columns, 3), RGB.

    Returns
    -------
    image
        float32 of shape (1, 3, 512, 512), 0..1: the photo with its longer side 512, averaged over
        areas when it is reduced, top-left; grey where it does not reach.
    place
        Where the photo lies in it.

    Notes
    -----
    A large photo is halved first, which is several times faster than averaging over areas that
    are no whole number of pixels; an odd last row or column is lost in it.
    """
    whole = max(pixels.shape[:2])
    zoom = OVERVIEW_SIDE_PX / whole
    small, halved = np.ascontiguousarray(pixels), 1
    while max(small.shape[:2]) >= 2 * OVERVIEW_SIDE_PX and min(small.shape[:2]) > 1:
        rows, columns = (side // 2 for side in small.shape[:2])
        even = small[: 2 * rows, : 2 * columns]
        small = cv2.resize(even, (columns, rows), interpolation=cv2.INTER_AREA)  # type: ignore[assignment]
        halved *= 2
    rows, columns = (max(1, round(side * halved * zoom)) for side in small.shape[:2])
    place = Letterbox(
        rows, columns, rows / (small.shape[0] * halved), columns / (small.shape[1] * halved)
    )
    if (rows, columns) != small.shape[:2]:
        how = cv2.INTER_AREA if whole > OVERVIEW_SIDE_PX else cv2.INTER_LINEAR
        small = cv2.resize(small, (columns, rows), interpolation=how)  # type: ignore[assignment]
    square = np.full((1, 3, OVERVIEW_SIDE_PX, OVERVIEW_SIDE_PX), _GREY, np.float32)
    square[0, :, :rows, :columns] = strip_tensor(small)[0]
    return square, place


def strip_tensor(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Return uint8 (rows, columns, 3) as float32 of shape (1, 3, rows, columns), 0..1."""
    planes = np.ascontiguousarray(pixels.transpose(2, 0, 1)[None])
    return np.multiply(planes, np.float32(1 / 255), dtype=np.float32)


def cell_centres_px(cells: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return where the middles of map cells lie in the input, px: cell i covers px 4i to 4i + 3."""
    return cells * CELL_PX + (CELL_PX - 1) / 2
