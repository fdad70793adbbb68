"""What of the spike's length was not read, or has something over it, in the florets' maps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.networks import CELL_PX, FloretMap, cell_centres_px

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.strip import Strip
    from spikecheck.thresholds import NetworkThresholds

_MM_PER_CELL = CELL_PX / STRIP_PX_PER_MM
_SPIKE, _OVER = 1, 2  # kinds of tissue


def unexplained_share(
    maps: NDArray[np.float32],
    strip: Strip,
    floret_rows: Sequence[float],
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
    floret_rows
        Rows of the florets' middles, px of the strip.
    thresholds
        What is as thin as a rachis, and how far a floret explains.
    """
    rows = _axis_rows(maps, strip)
    tissue_mm = _tissue(maps, _SPIKE, thresholds)[rows].sum(axis=1) * _MM_PER_CELL
    broad = tissue_mm > thresholds.rachis_width_mm
    if not floret_rows:
        return float(broad.any())
    places = cell_centres_px(rows.astype(np.float64))
    nearest_px = np.abs(places[:, None] - np.array(floret_rows)[None]).min(axis=1)
    far = nearest_px > thresholds.explained_reach_mm * STRIP_PX_PER_MM
    return float((broad & far).mean())


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
