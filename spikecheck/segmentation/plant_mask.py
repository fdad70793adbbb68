"""Where plant tissue is, by colour under neutral light, and where the picture shows fine detail."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.colour import chroma, hue_degrees

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import ColourThresholds, SegmentationThresholds

_FINE_PX = 1.6  # of the reduced picture: structure finer than this is detail
_SHARPEST, _SHARE_OF_SHARPEST = 98, 0.45  # percentile; share of its detail
_NEARBY_PX = 6.0  # detail is averaged over this distance


def plant_mask(
    lab: NDArray[np.float32], *, thresholds: ColourThresholds, strict: bool = False
) -> NDArray[np.bool_]:
    """Mark plant tissue.

    Parameters
    ----------
    lab
        CIELAB under neutral light, float32 of shape (rows, columns, 3).
    thresholds
        Hue and chroma limits of plant tissue.
    strict
        Leave out straw-coloured tissue, whose hue wood shares.

    Returns
    -------
    mask
        bool of shape (rows, columns).
    """
    hue = hue_degrees(lab)
    low = thresholds.green_hue_low_deg if strict else thresholds.plant_hue_low_deg
    return np.asarray(
        (hue > low)
        & (hue < thresholds.plant_hue_high_deg)
        & (chroma(lab) > thresholds.plant_chroma_low)
    )


def detail_mask(
    lab: NDArray[np.float32], *, thresholds: SegmentationThresholds
) -> NDArray[np.bool_]:
    """Mark where the picture shows fine detail: things in focus, not a blurred background.

    Where nothing is in focus, what is least blurred is marked: a spike before a field that is
    still farther out of focus.

    Parameters
    ----------
    lab
        CIELAB of the reduced picture, float32 of shape (rows, columns, 3).
    thresholds
        Least detail, in L*.
    """
    lightness = np.ascontiguousarray(lab[..., 0])
    fine = np.abs(lightness - cv2.GaussianBlur(lightness, (0, 0), _FINE_PX))
    detail = np.asarray(cv2.GaussianBlur(fine, (0, 0), _NEARBY_PX))
    relative = _SHARE_OF_SHARPEST * float(np.percentile(detail, _SHARPEST))
    return np.asarray(detail > np.clip(relative, thresholds.detail_noise, thresholds.detail_low))
