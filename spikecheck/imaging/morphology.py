"""Growing and shrinking masks by a distance, and the disc as a structuring element.

Masks are bool of shape (rows, columns), distances Euclidean, in px between pixel centres. What
lies beyond the picture counts as mask for shrinking and as nothing for growing, so that an edge
of the picture moves no outline.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


def disc(diameter_px: float) -> NDArray[np.uint8]:
    """Return a disc-shaped structuring element of odd side, at least 3 px."""
    side = 2 * max(1, round(diameter_px / 2)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side)), dtype=np.uint8)


def depth_px(mask: NDArray[np.bool_]) -> NDArray[np.float32]:
    """Return the distance to the nearest pixel outside ``mask``, 0 outside it.

    Where there is no pixel outside, the distance is larger than any picture.
    """
    return np.asarray(cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, 5))


def eroded(mask: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    """Return what of ``mask`` lies deeper in it than ``radius_px``."""
    return depth_px(mask) > radius_px


def dilated(mask: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    """Return everything no farther from ``mask`` than ``radius_px``."""
    return depth_px(~mask) <= radius_px


def opened(mask: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    """Drop what is nowhere deeper than ``radius_px``."""
    return dilated(eroded(mask, radius_px), radius_px)


def closed(mask: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    """Fill gaps whose middle is no farther from ``mask`` than ``radius_px``."""
    pad = int(radius_px) + 2
    padded = np.pad(mask, pad)
    return eroded(dilated(padded, radius_px), radius_px)[pad:-pad, pad:-pad]
