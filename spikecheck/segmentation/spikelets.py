"""Whether a body that shows no cut opening has the rows of spikelets that make it a spike.

Spikelets follow one another along both sides at an even distance, so the lightness along either
side repeats itself. A leaf, a husk or a cob of another crop does not, or at another distance.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.segmentation.florets import FloretPlace
from spikecheck.vocabulary import Side

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.imaging.strip import Strip
    from spikecheck.thresholds import SegmentationThresholds


_BANDS = 5  # along the strip: each shows one row of spikelets
_COARSE_PX = 40.0  # shading slower than a spikelet is taken out
_SHORTEST_PX = 20  # strip px: from here on the autocorrelation may dip before it rises again


@dataclass(frozen=True, slots=True)
class SpikeletRows:
    """Repetition along the spike.

    Parameters
    ----------
    strength
        Autocorrelation at the distance of neighbours, mean over bands along the spike, and at
        most its rise above the lowest value at a shorter distance: a smooth leaf has no dip.
    spacing_px
        That distance, strip px.
    """

    strength: float
    spacing_px: float


def spikelet_rows(
    lab: NDArray[np.float32], strip: Strip, *, thresholds: SegmentationThresholds
) -> SpikeletRows:
    """Measure how clearly spikelets repeat along the strip.

    Parameters
    ----------
    lab
        CIELAB of the strip, float32 (rows, columns, 3).
    strip
        The strip.
    thresholds
        Distances between which neighbours of one side are looked for.
    """
    top, base = round(strip.tip_row), round(strip.base_row)
    middle = round(strip.axis_column)
    reach = round(thresholds.strip_width_px / 2)
    nearest = round(thresholds.spacing_low_px)
    lags = np.arange(_SHORTEST_PX, round(thresholds.spacing_high_px) + 1)
    lightness = lab[top:base, :, 0]
    left_edge, right_edge = max(0, middle - reach), min(lightness.shape[1], middle + reach)
    edges = np.linspace(left_edge, right_edge, _BANDS + 1).astype(int)
    bands = [lightness[:, left:right] for left, right in pairwise(edges)]
    if lightness.shape[0] < 2 * lags[-1] or lightness.shape[1] < _BANDS:
        return SpikeletRows(0.0, float(nearest))
    repeats = np.mean([_repetition(band, lags) for band in bands], axis=0)
    first = nearest - _SHORTEST_PX
    best = first + int(np.argmax(repeats[first:]))
    rise = float(repeats[best] - repeats[: best + 1].min())
    return SpikeletRows(min(float(repeats[best]), rise), float(lags[best]))


def _repetition(band: NDArray[np.float32], lags: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return the correlation of one band with itself moved along by each lag."""
    smooth = cv2.GaussianBlur(np.ascontiguousarray(band), (0, 0), 4.0)
    fine = smooth - cv2.GaussianBlur(smooth, (0, 0), _COARSE_PX)
    return np.array([_correlation(fine[lag:], fine[:-lag]) for lag in lags])


def _correlation(one: NDArray[np.float32], other: NDArray[np.float32]) -> float:
    spread = float(np.sqrt((one * one).mean() * (other * other).mean()))
    return float((one * other).mean()) / spread if spread > 0 else 0.0


def unclipped_places(
    rows: SpikeletRows, strip: Strip, *, offset_px: float
) -> tuple[FloretPlace, ...]:
    """Return one place a spikelet for a spike on which nothing is cut.

    Parameters
    ----------
    rows
        Their distance.
    strip
        The strip.
    offset_px
        How far beside the axis they stand, strip px.
    """
    length = strip.base_row - strip.tip_row
    count = max(1, int(length / rows.spacing_px))
    return tuple(
        FloretPlace(
            row=strip.base_row - (i + (0.5 if side is Side.RIGHT else 0.0) + 0.25) * length / count,
            column=strip.axis_column + (offset_px if side is Side.RIGHT else -offset_px),
            side=side,
            cavity_seen=0.0,
            clipped=False,
            opening=None,
        )
        for side in (Side.LEFT, Side.RIGHT)
        for i in range(count)
    )
