"""Which part of the overview's maps is the spike, and what beside it is another one.

All places here are pixels of the square the overview network saw, row first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.networks import CELL_PX, OverviewMap

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.networks import Letterbox, OverviewTuned
    from spikecheck.thresholds import NetworkThresholds


@dataclass(frozen=True, slots=True, eq=False)
class OverviewMask:
    """The spike in the square.

    Parameters
    ----------
    spike
        bool of shape (rows, columns) of the photo in the square: the spike, all of its parts.
    parts
        How many parts it has; more than one where something lies over it.
    others
        How many more spikes of similar length there are.
    """

    spike: NDArray[np.bool_]
    parts: int
    others: int


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """A connected part: its pixels, and its extent along its own long axis."""

    pixels: NDArray[np.float64]
    middle: NDArray[np.float64]
    direction: NDArray[np.float64]
    length: float

    @property
    def width(self) -> float:
        return len(self.pixels) / self.length

    def along(self, other: _Part) -> tuple[float, float]:
        """Return from where to where ``other`` reaches along this part's long axis."""
        places = (other.pixels - self.middle) @ self.direction
        return float(places.min()), float(places.max())

    def beside(self, other: _Part) -> float:
        """Return how far the middle of ``other`` lies off this part's long axis."""
        row, column = other.middle - self.middle
        return abs(float(row * self.direction[1] - column * self.direction[0]))


def overview_mask(
    maps: NDArray[np.float32],
    place: Letterbox,
    *,
    tuned: OverviewTuned,
    thresholds: NetworkThresholds,
) -> OverviewMask | None:
    """Return the spike, or None when no part is large enough to be one.

    Parameters
    ----------
    maps
        float32 of shape (6, 128, 128), see :class:`~spikecheck.networks.OverviewMap`.
    place
        Where the photo lies in the square.
    tuned, thresholds
        Limits.

    Notes
    -----
    Parts in line with the largest one are the same spike with something over its middle; parts
    beside it are other spikes.
    """
    t = thresholds
    likely = enlarged(maps[OverviewMap.SPIKE], place) >= logit_of(tuned.spike_least)
    labels, parts = _parts(likely, least_px=t.spike_area_least * likely.size)
    if not parts:
        return None
    first = max(parts, key=lambda label: len(parts[label].pixels))
    main = parts.pop(first)
    own, others = [first], 0
    for label, part in parts.items():
        if _continues(main, part, thresholds=t):
            own.append(label)
        elif part.length >= t.other_length_share * main.length:
            others += 1
    elsewhere = enlarged(maps[OverviewMap.OTHER_SPIKE], place) >= logit_of(tuned.other_least)
    _, strangers = _parts(elsewhere & ~likely, least_px=t.spike_area_least * likely.size)
    others += sum(each.length >= t.other_length_share * main.length for each in strangers.values())
    return OverviewMask(np.isin(labels, own), len(own), others)


def enlarged(cells: NDArray[np.float32], place: Letterbox) -> NDArray[np.float32]:
    """Return a map, (128, 128), at the square's resolution, cut to where the photo lies."""
    height, width = cells.shape
    size = (width * CELL_PX, height * CELL_PX)
    full = cv2.resize(cells, size, interpolation=cv2.INTER_LINEAR)
    return np.asarray(full[: place.rows, : place.columns], dtype=np.float32)


def logit_of(probability: float) -> float:
    """Return ``ln(p / (1 - p))``, infinite at 0 and 1."""
    with np.errstate(divide="ignore"):
        return float(np.log(probability) - np.log1p(-probability))


def _parts(
    mask: NDArray[np.bool_], *, least_px: float
) -> tuple[NDArray[np.int32], dict[int, _Part]]:
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    large = np.flatnonzero(stats[:, cv2.CC_STAT_AREA] >= max(least_px, 2)).tolist()
    parts = {}
    for label in large:
        if label == 0:
            continue
        left, top, width, height = (int(value) for value in stats[label, :4])
        inside = labels[top : top + height, left : left + width] == label
        parts[label] = _part(np.argwhere(inside) + np.array([top, left]))
    return np.asarray(labels, dtype=np.int32), parts


def _part(pixels: NDArray[np.intp]) -> _Part:
    places = pixels.astype(np.float64)
    middle = places.mean(axis=0)
    spread = np.cov((places - middle).T) + 1e-9 * np.eye(2)
    direction = np.linalg.eigh(spread)[1][:, 1]
    length = float(np.ptp((places - middle) @ direction)) + 1
    return _Part(places, middle, direction, length)


def _continues(main: _Part, part: _Part, *, thresholds: NetworkThresholds) -> bool:
    """Tell whether ``part`` lies in line with ``main`` and beyond one of its ends."""
    low, high = main.along(main)
    begins, ends = main.along(part)
    beyond = ends < low + main.width or begins > high - main.width
    return beyond and main.beside(part) <= thresholds.joined_offset_widths * main.width
