"""How sharp the spike is, tile by tile.

A spike is 10-15 mm deep, more than a phone holds in focus at 10 cm, so one number for the photo
would hide the blurred part. The blur is told as the standard deviation sigma of a Gaussian, in px
of the photo and in mm at the spike: millimetres decide, as an anther is 0.6-1.0 mm wide whatever
the camera. The edges come from :mod:`spikecheck.photo.edges` at scales an octave apart;
noise and thin lines make single scales answer too small, never too large, so the largest counts.

For a Gaussian, MTF(f) = exp(-2 pi^2 sigma^2 f^2), and so MTF50 = 0.1874 / sigma cycles a px.

What misleads it: a tile without a single edge has no answer; it cannot be told from a blurred one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.photo.edges import (
    LEAST_RESOLVED_PX,
    Edges,
    find_edges,
    typical_variance_px2,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.photo.patch import SpikePatch
    from spikecheck.thresholds import QualityThresholds

MTF50_TIMES_SIGMA = float(np.sqrt(np.log(2) / 2) / np.pi)
_NYQUIST_CYCLES_PER_PX = 0.5
_FINEST_PX_PER_MM, _COARSEST_PX_PER_MM = 10, 5
_LEAST_SIDE_PX = 16
_LEAST_TILE_SHARE = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class EdgeScale:
    """The edges of the spike at one scale.

    Parameters
    ----------
    edges
        The edges.
    tiles
        int32 array: the tile each edge lies in.
    least_resolved_px2
        Variance of the least blur this scale can tell from none, px^2 of the photo; 0 for the
        finest scale, which answers where no other does.
    """

    edges: Edges
    tiles: NDArray[np.int32]
    least_resolved_px2: float


@dataclass(frozen=True, slots=True, eq=False)
class Focus:
    """Sharpness of the spike.

    Parameters
    ----------
    sigma_px
        Blur of the middling tile, px of the photo.
    sigma_mm
        The same in mm at the spike.
    tile_sigma_mm
        float64 array of shape (tiles,): each tile's blur, mm; infinite where nothing could be
        measured, NaN where the tile hardly holds any of the spike.
    blurred_share
        Share of the tiles blurred beyond the threshold.
    unmeasured_share
        Share of the tiles where nothing could be measured.
    """

    sigma_px: float
    sigma_mm: float
    tile_sigma_mm: NDArray[np.float64]
    blurred_share: float
    unmeasured_share: float

    @property
    def mtf50_cycles_per_px(self) -> float:
        """Frequency at which half of the contrast is left, at most 0.5 cycles a px."""
        if self.sigma_px <= MTF50_TIMES_SIGMA / _NYQUIST_CYCLES_PER_PX:
            return _NYQUIST_CYCLES_PER_PX
        return MTF50_TIMES_SIGMA / self.sigma_px


def edge_scales(patch: SpikePatch) -> tuple[EdgeScale, ...]:
    """Return the spike's edges at scales an octave apart, finest first."""
    import cv2

    shrink = max(1, int(patch.px_per_mm // _FINEST_PX_PER_MM))
    found: list[EdgeScale] = []
    while not found or patch.px_per_mm / shrink >= _COARSEST_PX_PER_MM:
        rows, columns = (size // shrink for size in patch.pixels.shape[:2])
        if min(rows, columns) < _LEAST_SIDE_PX:
            break
        whole = patch.pixels[: rows * shrink, : columns * shrink]
        small = cv2.resize(whole, (columns, rows), interpolation=cv2.INTER_AREA)
        grey = np.asarray(cv2.cvtColor(small, cv2.COLOR_RGB2GRAY), np.uint8)
        edges = find_edges(grey, patch.mask(shrink), shrink=shrink)
        tiles = patch.tiles_at(edges.rows, edges.columns, shrink)
        found.append(EdgeScale(edges, tiles, (LEAST_RESOLVED_PX * shrink) ** 2 if found else 0.0))
        shrink *= 2
    return tuple(found)


def measure_focus(
    patch: SpikePatch, scales: tuple[EdgeScale, ...], *, thresholds: QualityThresholds
) -> Focus | None:
    """Measure the blur in every tile of a spike.

    Parameters
    ----------
    patch
        The spike.
    scales
        Its edges.
    thresholds
        Which blur is too much.

    Returns
    -------
    Focus or None
        None when no tile holds enough of the spike, or no edge was found at all.
    """
    variances = np.array(
        [
            [
                _tile_variance_px2(scale, tile, thresholds.least_edge_contrast)
                for tile in range(patch.tile_count)
            ]
            for scale in scales
        ]
    )
    held = _held_tiles(patch)
    if not held.any() or not np.isfinite(variances).any():
        return None
    largest = np.max(variances, axis=0, initial=-np.inf, where=np.isfinite(variances))
    sigma_mm = np.where(
        np.isfinite(largest), np.sqrt(np.maximum(largest, 0)) / patch.px_per_mm, np.inf
    )
    sigma_mm[~held] = np.nan
    known = sigma_mm[np.isfinite(sigma_mm)]
    if not known.size:
        return None
    typical_mm = float(np.median(known))
    measured_share = known.size / np.count_nonzero(held)
    return Focus(
        sigma_px=typical_mm * patch.px_per_mm,
        sigma_mm=typical_mm,
        tile_sigma_mm=sigma_mm,
        blurred_share=float(np.mean(known > thresholds.largest_blur_mm)) * measured_share,
        unmeasured_share=1 - measured_share,
    )


def _tile_variance_px2(scale: EdgeScale, tile: int, least_contrast: float) -> float:
    """Return the blur variance of a tile, px^2; at most 0 for what the scale does not resolve."""
    chosen = np.flatnonzero(scale.tiles == tile)
    variance = typical_variance_px2(scale.edges, chosen, least_contrast=least_contrast)
    return min(variance, 0.0) if variance < scale.least_resolved_px2 else variance


def _held_tiles(patch: SpikePatch) -> NDArray[np.bool_]:
    """Return which tiles hold a fair part of the spike: slivers at its ends tell nothing."""
    rows, columns = np.nonzero(patch.mask(patch.cell_px))
    sizes = np.bincount(patch.tiles_at(rows, columns, patch.cell_px), minlength=patch.tile_count)
    return np.asarray(sizes > _LEAST_TILE_SHARE * np.median(sizes), bool)
