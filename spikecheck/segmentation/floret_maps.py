"""Florets from the florets network's maps of the straightened strip."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.networks import CELL_PX, FloretMap, cell_centres_px, find_peaks, sigmoid
from spikecheck.segmentation.florets import FloretPlace
from spikecheck.segmentation.numbering import number_florets
from spikecheck.vocabulary import Side

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.imaging.strip import Strip
    from spikecheck.networks import FloretsTuned, LogitScaling, Peak
    from spikecheck.thresholds import NetworkThresholds
    from spikecheck.vocabulary import Floret

_LN_EXTENT_REACH = (-3.0, 4.0)  # 0.05 to 55 mm
_CELLS_PER_MM = STRIP_PX_PER_MM / CELL_PX


@dataclass(frozen=True, slots=True)
class StripFloret:
    """A floret, and where it lies in the strip.

    Parameters
    ----------
    floret
        The floret, in photo coordinates.
    strip_box
        Its box, px of the strip: top, left, bottom, right.
    """

    floret: Floret
    strip_box: tuple[float, float, float, float]


def florets_in_maps(
    maps: NDArray[np.float32],
    strip: Strip,
    *,
    not_prepared: bool,
    scaling: LogitScaling,
    tuned: FloretsTuned,
    thresholds: NetworkThresholds,
) -> tuple[StripFloret, ...]:
    """Return the florets that face the camera, ordered by side, then from base to tip.

    Parameters
    ----------
    maps
        float32 of shape (20, rows / 4, columns / 4), see :class:`~spikecheck.networks.FloretMap`.
    strip
        The strip they are of, its tip at the top, 20 px/mm.
    not_prepared
        Whether the spike as a whole looks unprepared; a top then counts as cut only when that is
        surer.
    scaling
        Turns the logit that an anther shows into a probability.
    tuned, thresholds
        Limits.
    """
    peaks = find_peaks(
        maps[FloretMap.FLORET_HEAT],
        least=tuned.floret_least,
        apart_cells=thresholds.floret_apart_mm * _CELLS_PER_MM,
    )
    clipped_least = tuned.clipped_least_if_unprepared if not_prepared else tuned.clipped_least
    peak_of: dict[FloretPlace, Peak] = {}
    for peak in peaks:
        row, column = cell_centres_px(np.array([peak.row, peak.column])).tolist()
        if not strip.holds(row, column):
            continue
        here = sigmoid(maps[:, peak.cell[0], peak.cell[1]])
        place = FloretPlace(
            row=row,
            column=column,
            side=Side.LEFT if here[FloretMap.LEFT] >= 0.5 else Side.RIGHT,  # noqa: PLR2004
            cavity_seen=float(here[FloretMap.CAVITY]),
            clipped=bool(here[FloretMap.CLIPPED] >= clipped_least),
            opening=None,
        )
        peak_of[place] = peak
    found = []
    for place, floret in number_florets(tuple(peak_of), strip, floret_px=STRIP_PX_PER_MM):
        peak = peak_of[place]
        box = _strip_box(maps, place, peak, thresholds=thresholds)
        p_anther = scaling.probability(float(maps[FloretMap.HOLDS_ANTHER][peak.cell]))
        seen = replace(floret, box=strip.photo_box_of_ellipse(*box), p_anther=p_anther)
        found.append(StripFloret(seen, box))
    return tuple(found)


def _strip_box(
    maps: NDArray[np.float32], place: FloretPlace, peak: Peak, *, thresholds: NetworkThresholds
) -> tuple[float, float, float, float]:
    channels = slice(FloretMap.FLORET_SIZE, FloretMap.FLORET_SIZE + 2)
    ln_extent = np.clip(maps[channels, peak.cell[0], peak.cell[1]], *_LN_EXTENT_REACH)
    extent_mm = np.maximum(np.exp(ln_extent), thresholds.smallest_extent_mm)
    height, width = (extent_mm * STRIP_PX_PER_MM / 2).tolist()
    return place.row - height, place.column - width, place.row + height, place.column + width
