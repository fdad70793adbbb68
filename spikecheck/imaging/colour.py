"""From sRGB pixels to CIELAB, and differences there.

Conversions are OpenCV's and scikit-image's; both are held to published values by the tests. All
arrays are row, column, channel; CIELAB is for D65, the white of sRGB (IEC 61966-2-1).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np
from skimage.color import deltaE_ciede2000

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray


def lab_from_srgb(pixels: NDArray[np.uint8] | NDArray[np.float32]) -> NDArray[np.float32]:
    """Convert sRGB to CIELAB.

    Parameters
    ----------
    pixels
        Shape (rows, columns, 3), RGB; uint8, or float32 in [0, 1].

    Returns
    -------
    lab
        float32, same shape: L* in [0, 100], a*, b*.

    Notes
    -----
    OpenCV's float path interpolates tables; it stays within 0.5 of the exact formula in each
    coordinate, a tenth of the smallest difference any decision rests on.
    """
    if pixels.dtype == np.uint8:
        pixels = pixels.astype(np.float32) / np.float32(255)
    return np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGB2LAB), dtype=np.float32)


def chroma(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """CIELAB chroma C*ab of an array whose last axis is L*, a*, b*."""
    return np.hypot(lab[..., 1], lab[..., 2])


def hue_degrees(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """CIELAB hue angle h_ab in [0, 360), degrees, of an array whose last axis is L*, a*, b*."""
    hue = np.degrees(np.arctan2(lab[..., 2], lab[..., 1]))
    return np.where(hue < 0, hue + np.float32(360), hue)  # several times faster than a remainder


def colour_difference(lab: ArrayLike, other: ArrayLike) -> NDArray[np.float64]:
    """CIEDE2000 colour difference of CIELAB colours, broadcast over all axes but the last.

    References
    ----------
    G. Sharma, W. Wu, E. N. Dalal (2005). The CIEDE2000 color-difference formula. Color Research
    and Application 30:21-30, https://doi.org/10.1002/col.20070
    """
    return np.asarray(deltaE_ciede2000(lab, other), dtype=np.float64)
