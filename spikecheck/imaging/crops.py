"""Cuts a close view of one place out of a photo."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import UsageError
from spikecheck.imaging.marks import PAPER

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.vocabulary.geometry import Point
    from spikecheck.vocabulary.photo import Photo


def place_crop(photo: Photo, centre: Point, *, side_px: int) -> NDArray[np.uint8]:
    """Return the square of ``side_px`` about ``centre``, at full resolution.

    Parameters
    ----------
    photo
        The photo.
    centre
        Middle of the square; may lie outside the photo.
    side_px
        Side of the square, px, at least 1.

    Returns
    -------
    ndarray of uint8, shape (side_px, side_px, 3)
        RGB; what lies beyond the photo is dark grey.

    Raises
    ------
    UsageError
        If ``side_px`` is below 1.
    """
    if side_px < 1:
        raise UsageError(f"a crop is at least 1 px wide, got {side_px}")
    crop = np.full((side_px, side_px, 3), PAPER, np.uint8)
    half_px = (side_px - 1) / 2  # whole numbers are pixel centres
    top, left = round(centre.row - half_px), round(centre.column - half_px)
    row0, column0 = max(top, 0), max(left, 0)
    row1, column1 = min(top + side_px, photo.height), min(left + side_px, photo.width)
    if row0 < row1 and column0 < column1:
        crop[row0 - top : row1 - top, column0 - left : column1 - left] = photo.pixels[
            row0:row1, column0:column1
        ]
    return crop
