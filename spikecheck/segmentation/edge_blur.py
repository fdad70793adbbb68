"""How blurred the sharpest edges of a body are: whether it could be read at all.

A step of height h under a Gaussian blur of sigma s has its steepest slope h / (s sqrt(2 pi)); so
the steepest slope in the strip, set against the full range of lightness there, gives the sigma of
its sharpest edge.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_STEEPEST = 99.5  # percentile of the slope; a few pixels of noise do not count
_DARK, _LIGHT = 2, 98  # percentiles between which the range of lightness is taken


def edge_blur_px(lab: NDArray[np.float32]) -> float:
    """Return the Gaussian sigma of the sharpest edges of a strip, strip px.

    Parameters
    ----------
    lab
        CIELAB of the strip, float32 (rows, columns, 3).

    Notes
    -----
    The measure's own smoothing, of sigma 1, and the width of its slope, of variance 1/3, are
    not taken out: an edge of sigma s on a pixel reads sqrt(s**2 + 4/3). A strip without any edge
    reads infinity.
    """
    lightness = cv2.GaussianBlur(np.ascontiguousarray(lab[..., 0]), (0, 0), 1.0)
    down = cv2.Sobel(lightness, cv2.CV_32F, 0, 1, scale=1 / 8)
    across = cv2.Sobel(lightness, cv2.CV_32F, 1, 0, scale=1 / 8)
    steepest = float(np.percentile(np.hypot(down, across), _STEEPEST))
    dark, light = np.percentile(lightness, (_DARK, _LIGHT))
    if steepest <= 0:
        return float("inf")
    return float((light - dark) / (steepest * np.sqrt(2 * np.pi)))
