"""The colour of the light from a tag's grey steps, and taking it out of a photo."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.white_balance import linear_from_srgb, srgb_from_linear
from spikecheck.tag_reading.placing import corners_of
from spikecheck.vocabulary import ColourCorrection
from spikecheck.vocabulary.tag_layout import GREY_STEPS, RULER_FOOT_MM, Rectangle, grey_step

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.tag_reading.placing import Placing
    from spikecheck.thresholds import TagThresholds

_WHITE = 255
_EDGE_MM = 0.8  # of a step: its neighbour bleeds in there, and a cut may run there
_NEAR_MM = 0.1
_SAMPLES_MM = 0.25  # a colour is taken at every such distance


def correction_of(
    pixels: NDArray[np.uint8], placing: Placing, *, thresholds: TagThresholds
) -> ColourCorrection | None:
    """Return what turns the grey steps neutral, or None where they contradict each other.

    Parameters
    ----------
    pixels
        The photo, uint8 of shape (rows, columns, 3), RGB, sRGB.
    placing
        Where the tag lies.
    thresholds
        Which steps count, how many are needed, and how well they must agree.

    Notes
    -----
    A von Kries scaling in linear sRGB, as in :mod:`spikecheck.imaging.white_balance`. The colour of
    a step is the median over it, so that spots of dirt do not count; the gains are the median over
    the steps. How light a printer makes a step is not relied on, only that it adds no colour.
    """
    low, high = thresholds.grey_code_least, thresholds.grey_code_most
    good = []
    for number, code in enumerate(GREY_STEPS):
        step = grey_step(number)
        colour = _colour(pixels, placing, step) if _both_ends_found(placing, step) else None
        if colour is not None and low <= colour.min() and colour.max() <= high:
            good.append((code, colour))
    if len(good) < thresholds.grey_steps_least:
        return None
    codes, colours = np.array([code for code, _ in good]), np.array([one for _, one in good])
    light = linear_from_srgb(colours / _WHITE)
    order = _rank_correlation(codes, light[:, 1])
    if not order >= thresholds.grey_order_least:
        return None
    ratios = light[:, 1:2] / light
    gains = np.median(ratios, axis=0)
    spread = float(np.exp(np.abs(np.log(ratios / gains)).max()) - 1)
    if not spread <= thresholds.grey_spread_most:
        return None
    red, green, blue = (float(gain) for gain in gains)
    return ColourCorrection((red, green, blue), spread, len(good))


def correct_colour(pixels: NDArray[np.uint8], correction: ColourCorrection) -> NDArray[np.uint8]:
    """Return the photo as it would be under neutral light.

    Parameters
    ----------
    pixels
        uint8 of shape (rows, columns, 3), RGB, sRGB.
    correction
        From a tag in the photo.

    Returns
    -------
    ndarray of uint8
        A new array of the same shape; what gets too light for 8 bits is clipped.
    """
    codes = np.arange(_WHITE + 1) / _WHITE
    table = srgb_from_linear(linear_from_srgb(codes)[:, None] * np.array(correction.gains))
    steps = np.rint(table * _WHITE).astype(np.uint8)
    return np.asarray(cv2.LUT(pixels, steps[None]), np.uint8)


def _rank_correlation(printed: NDArray[np.int_], seen: NDArray[np.float64]) -> float:
    """Return Spearman's rank correlation; ``scipy.stats`` takes longer to load than a check may."""
    ranks = np.stack([np.argsort(np.argsort(each)) for each in (printed, seen)])
    return float(np.asarray(np.corrcoef(ranks))[0, 1])


def _both_ends_found(placing: Placing, step: Rectangle) -> bool:
    """Tell whether the print was found at either end of a step, so that nothing covers it."""
    along = placing.on_tag[placing.on_tag[:, 1] > RULER_FOOT_MM, 0]
    return all((np.abs(along - end) < _NEAR_MM).any() for end in (step.left, step.right))


def _colour(
    pixels: NDArray[np.uint8], placing: Placing, step: Rectangle
) -> NDArray[np.float64] | None:
    """Return the median colour of a step, or None where it is not wholly in the photo."""
    inner = Rectangle(
        step.left + _EDGE_MM, step.top + _EDGE_MM, step.right - _EDGE_MM, step.bottom - _EDGE_MM
    )
    ends = placing.place(corners_of(inner))
    if ends.min() < 0 or (ends.max(axis=0) > (pixels.shape[1] - 1, pixels.shape[0] - 1)).any():
        return None
    x, y = np.meshgrid(
        np.arange(inner.left, inner.right, _SAMPLES_MM),
        np.arange(inner.top, inner.bottom, _SAMPLES_MM),
    )
    places = placing.place(np.stack([x.ravel(), y.ravel()], axis=1))
    columns, rows = np.rint(places).astype(int).T
    return np.asarray(np.median(pixels[rows, columns], axis=0), np.float64)
