"""Whether the spike is lit well: neither lost in the dark nor burnt out.

Lightness is CIE L* of the spike's own pixels: a white sheet behind it or a dark field says
nothing. A pixel counts as burnt out when two of its three channels are at the ceiling: its colour
is then lost, and green tissue looks yellow, which is the colour this is all about. Both are looked
at over the whole spike and tile by tile, since sun and shade lie side by side.

What misleads it: a dark red or black glume is dark by nature; glossy tissue has burnt-out specks
in any light, which is why a share is tolerated.

References
----------
CIE 015:2018, Colorimetry, for L*.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.photo.patch import SpikePatch
    from spikecheck.thresholds import QualityThresholds
    from spikecheck.vocabulary.photo import Photo

_MOST_SAMPLES = 60_000
_LEAST_TILE_SAMPLES = 20


@dataclass(frozen=True, slots=True)
class Exposure:
    """How some pixels are lit.

    Parameters
    ----------
    median_lightness
        Median CIE L*, 0..100.
    burnt_share
        Share of pixels that are burnt out.
    dark_tile_share, burnt_tile_share
        Share of tiles too dark, or with too many burnt-out pixels, for anything to be seen.
    """

    median_lightness: float
    burnt_share: float
    dark_tile_share: float
    burnt_tile_share: float

    def is_dark(self, thresholds: QualityThresholds) -> bool:
        """Whether it is too dark to judge."""
        return (
            self.median_lightness < thresholds.least_lightness
            or self.dark_tile_share > thresholds.largest_dark_share
        )

    def is_overexposed(self, thresholds: QualityThresholds) -> bool:
        """Whether too much is burnt out to judge."""
        return (
            self.burnt_share > thresholds.largest_burnt_share
            or self.burnt_tile_share > thresholds.largest_burnt_tile_share
        )


def spike_exposure(patch: SpikePatch, *, thresholds: QualityThresholds) -> Exposure | None:
    """Measure how the spike is lit, on evenly spread pixels of it; None if it has none."""
    inside = np.count_nonzero(patch.mask(patch.cell_px)) * patch.cell_px**2
    stride = max(1, int(np.sqrt(inside / _MOST_SAMPLES)))
    rows, columns = np.nonzero(patch.mask(stride))
    if not rows.size:
        return None
    colours = patch.pixels[rows * stride + stride // 2, columns * stride + stride // 2]
    tiles = patch.tiles_at(rows, columns, stride)
    return _exposure(colours, tiles, patch.tile_count, thresholds)


def photo_exposure(photo: Photo, *, thresholds: QualityThresholds) -> Exposure:
    """Measure how a whole photo is lit, where there is no spike to look at."""
    stride = max(1, int(np.sqrt(photo.height * photo.width / _MOST_SAMPLES)))
    colours = photo.pixels[::stride, ::stride].reshape(-1, 3)
    return _exposure(colours, np.zeros(len(colours), np.int32), 1, thresholds)


def _exposure(
    colours: NDArray[np.uint8],
    tiles: NDArray[np.int32],
    tile_count: int,
    thresholds: QualityThresholds,
) -> Exposure:
    from spikecheck.imaging.colour import lab_from_srgb

    lightness = lab_from_srgb(colours[np.newaxis])[0, :, 0]
    second_channel = np.sort(colours, axis=1)[:, 1]
    burnt = second_channel >= thresholds.burnt_level
    dark_tiles, burnt_tiles = [], []
    for tile in range(tile_count):
        here = tiles == tile
        if np.count_nonzero(here) < _LEAST_TILE_SAMPLES:
            continue
        dark_tiles.append(float(np.median(lightness[here])) < thresholds.least_tile_lightness)
        burnt_tiles.append(float(np.mean(burnt[here])) > thresholds.largest_burnt_share_of_tile)
    return Exposure(
        median_lightness=float(np.median(lightness)),
        burnt_share=float(np.mean(burnt)),
        dark_tile_share=float(np.mean(dark_tiles)) if dark_tiles else 0.0,
        burnt_tile_share=float(np.mean(burnt_tiles)) if burnt_tiles else 0.0,
    )
