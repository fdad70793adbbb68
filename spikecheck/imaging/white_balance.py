"""Takes the colour of the light out of a photo, as far as the photo shows it.

The light's colour is read off what is nearly grey in the picture: card, paper, tag, bench. Plant
tissue and strongly coloured things say nothing about it and are left out. When too little is
nearly grey the photo is left as it is, and :attr:`WhiteBalance.certain` says so; later decisions
then rest on differences from the spike's own tissue alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.colour import chroma, hue_degrees, lab_from_srgb

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import ColourThresholds

_CODES = 256
_TOE = 0.04045  # IEC 61966-2-1: end of the linear part of the sRGB curve, encoded
_LINEAR_TOE = 0.0031308  # the same, linear


@dataclass(frozen=True, slots=True)
class WhiteBalance:
    """Factors that turn the light neutral.

    Parameters
    ----------
    gains
        Factors for linear red, green and blue; green is 1.
    certain
        Whether enough nearly grey was seen.
    """

    gains: tuple[float, float, float]
    certain: bool


_UNCHANGED = WhiteBalance((1.0, 1.0, 1.0), certain=False)


def linear_from_srgb(encoded: NDArray[np.float64]) -> NDArray[np.float64]:
    """Decode sRGB values in [0, 1] to linear light (IEC 61966-2-1)."""
    return np.where(encoded <= _TOE, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)


def srgb_from_linear(linear: NDArray[np.float64]) -> NDArray[np.float64]:
    """Encode linear light as sRGB, clipped to [0, 1] (IEC 61966-2-1)."""
    linear = np.clip(linear, 0, 1)
    return np.where(linear <= _LINEAR_TOE, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)


def estimate_white_balance(
    pixels: NDArray[np.uint8], *, thresholds: ColourThresholds
) -> WhiteBalance:
    """Estimate the colour of the light from what is nearly grey.

    Parameters
    ----------
    pixels
        uint8 of shape (rows, columns, 3), RGB, sRGB; a reduced picture serves as well.
    thresholds
        Limits on lightness, chroma and share of what counts as nearly grey.

    Notes
    -----
    A von Kries scaling in linear sRGB, with the mean of the densest near-grey colour as the
    light's colour (a local form of the grey-world assumption, G. Buchsbaum (1980), Journal of
    the Franklin Institute 310:1-26).
    """
    lab = lab_from_srgb(pixels).reshape(-1, 3)
    lightness, hue = lab[:, 0], hue_degrees(lab)
    plant = (hue > thresholds.grey_green_hue_low_deg) & (hue < thresholds.plant_hue_high_deg)
    grey = (
        (lightness > thresholds.grey_lightness_low)
        & (lightness < thresholds.grey_lightness_high)
        & (chroma(lab) < thresholds.grey_chroma_high)
        & ~(plant & (chroma(lab) > thresholds.plant_chroma_low))
    )
    if grey.mean() < thresholds.grey_share_low:
        return _UNCHANGED
    centre = np.median(lab[grey, 1:], axis=0)
    near = grey & (np.hypot(*(lab[:, 1:] - centre).T) < thresholds.grey_spread_high)
    if near.mean() < thresholds.grey_share_low:
        return _UNCHANGED
    light = linear_from_srgb(pixels.reshape(-1, 3)[near] / (_CODES - 1)).mean(axis=0)
    red, green, blue = (float(value) for value in light)
    gains = (green / red, 1.0, green / blue)
    if max(*gains, *(1 / gain for gain in gains)) > thresholds.gain_high:
        return _UNCHANGED
    return WhiteBalance(gains, certain=True)


def balanced_lab(pixels: NDArray[np.uint8], balance: WhiteBalance) -> NDArray[np.float32]:
    """Return the CIELAB picture under neutral light.

    Parameters
    ----------
    pixels
        uint8 of shape (rows, columns, 3), RGB, sRGB.
    balance
        From :func:`estimate_white_balance`.

    Returns
    -------
    lab
        float32 of the same shape.
    """
    codes = np.arange(_CODES) / (_CODES - 1)
    table = srgb_from_linear(linear_from_srgb(codes)[:, None] * np.array(balance.gains))
    balanced = cv2.LUT(pixels, table.astype(np.float32)[None])
    return lab_from_srgb(np.asarray(balanced, dtype=np.float32))
