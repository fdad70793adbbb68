"""Turning and stretching pictures, with OpenCV's results as plain float32 arrays."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose.paint import blurred

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Floats

_SHRUNK = 0.7  # below this stretch, pixels would be left out without blurring first


def warped(
    array: Floats, matrix: Floats, shape: tuple[int, int], *, stretch: float, border: int
) -> Floats:
    """Return a picture moved by a similarity, smoothly.

    Parameters
    ----------
    array
        float32 (H, W) or (H, W, C), C at most 4.
    matrix
        (2, 3): takes (x, y) of the picture to (x, y) of the result; whole numbers are pixel
        centres on both sides.
    shape
        Height and width of the result.
    stretch
        Result pixels per picture pixel.
    border
        OpenCV's way to go on beyond the border.
    """
    # Warping knows no mean over an area: what shrinks is blurred first.
    source = blurred(array, 0.45 / stretch) if stretch < _SHRUNK else array
    size = (shape[1], shape[0])
    moved = cv2.warpAffine(source, matrix, size, flags=cv2.INTER_LINEAR, borderMode=border)
    return np.asarray(moved, np.float32)


def warped_codes(
    codes: NDArray[np.uint16], matrix: Floats, shape: tuple[int, int], border: int
) -> NDArray[np.uint16]:
    """Return a map of codes moved by a similarity; each pixel takes the nearest code."""
    size = (shape[1], shape[0])
    moved = cv2.warpAffine(codes, matrix, size, flags=cv2.INTER_NEAREST, borderMode=border)
    return np.asarray(moved, np.uint16)
