"""What of the spike's length was not read, or has something over it, in the florets' maps."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.networks import CELL_PX, FloretMap, cell_centres_px, sigmoid

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.strip import Strip
    from spikecheck.segmentation.floret_maps import StripFloret
    from spikecheck.thresholds import NetworkThresholds

_MM_PER_CELL = CELL_PX / STRIP_PX_PER_MM
_SPIKE, _OVER = 1, 2  # kinds of tissue


def unexplained_share(
    maps: NDArray[np.float32],
    strip: Strip,
    florets: Sequence[StripFloret],
    *,
    thresholds: NetworkThresholds,
) -> float:
    """Return the share of the spike's length with tissue in which nothing was recognised, 0..1.

    Parameters
    ----------
    maps
        float32 of shape (20, rows / 4, columns / 4).
    strip
        The strip they are of.
    florets
        The florets that were recognised.
    thresholds
        What is as thin as a rachis, how far a floret explains, and how much uncut tissue counts.

    Notes
    -----
    Two kinds of rows count: those with tissue broader than a rachis out of reach of any floret,
    and those with uncut tissue that lies in the box of no uncut floret.
    """
    rows = _axis_rows(maps, strip)
    tissue_mm = _tissue(maps, _SPIKE, thresholds)[rows].sum(axis=1) * _MM_PER_CELL
    broad = tissue_mm > thresholds.rachis_width_mm
    if not florets:
        return float(broad.any())
    places = cell_centres_px(rows.astype(np.float64))
    middles = np.array([(top + bottom) / 2 for top, _, bottom, _ in _boxes(florets)])
    far = np.abs(places[:, None] - middles).min(axis=1)
    unread = broad & (far > thresholds.explained_reach_mm * STRIP_PX_PER_MM)
    uncut_mm = _uncut_alone(maps, florets, thresholds)[rows].sum(axis=1) * _MM_PER_CELL
    return float((unread | (uncut_mm >= thresholds.uncut_width_mm)).mean())


def _boxes(florets: Sequence[StripFloret]) -> list[tuple[float, float, float, float]]:
    return [each.strip_box for each in florets]


def _uncut_alone(
    maps: NDArray[np.float32], florets: Sequence[StripFloret], thresholds: NetworkThresholds
) -> NDArray[np.bool_]:
    """Return the cells of uncut tissue that are in the box of no uncut floret."""
    uncut = sigmoid(maps[FloretMap.UNCUT]) >= thresholds.tissue_least
    closed = [each for each in florets if not each.floret.clipped]
    for top, left, bottom, right in _boxes(closed):
        first_row, first_column = (max(0, math.floor(edge / CELL_PX)) for edge in (top, left))
        last_row, last_column = (math.ceil(edge / CELL_PX) + 1 for edge in (bottom, right))
        uncut[first_row : max(last_row, 0), first_column : max(last_column, 0)] = False
    return uncut


def covered_share(
    maps: NDArray[np.float32], strip: Strip, *, thresholds: NetworkThresholds
) -> float:
    """Return the share of the spike's length that something lies over, 0..1.

    Parameters
    ----------
    maps
        float32 of shape (20, rows / 4, columns / 4).
    strip
        The strip they are of.
    thresholds
        How much of the spike's middle makes a row covered.
    """
    rows = _axis_rows(maps, strip)
    columns = cell_centres_px(np.arange(maps.shape[2], dtype=np.float64))
    band = np.abs(columns - strip.axis_column) <= thresholds.occluder_band_mm * STRIP_PX_PER_MM
    over = _tissue(maps, _OVER, thresholds)[rows][:, band]
    return float((over.mean(axis=1) > thresholds.occluder_row_share).mean())


def _axis_rows(maps: NDArray[np.float32], strip: Strip) -> NDArray[np.intp]:
    """Return the rows of cells between tip and base, at least one."""
    places = cell_centres_px(np.arange(maps.shape[1], dtype=np.float64))
    rows = np.flatnonzero((places >= strip.tip_row) & (places <= strip.base_row))
    return rows if len(rows) else np.array([len(places) // 2], dtype=np.intp)


def _tissue(
    maps: NDArray[np.float32], kind: int, thresholds: NetworkThresholds
) -> NDArray[np.bool_]:
    """Return where the softmax of the three kinds of tissue gives ``kind`` enough."""
    kinds = maps[FloretMap.TISSUE : FloretMap.TISSUE + 3]
    weights = np.exp(kinds - kinds.max(axis=0))
    return np.asarray(weights[kind] >= thresholds.tissue_least * weights.sum(axis=0))
