"""The spike's line from base to tip, from its mask and the overview's arrows.

All places here are pixels of the square the overview network saw, row first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.networks import OverviewMap

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import NetworkThresholds
    from spikecheck.vocabulary import Spike

_BENDS = 3  # degree of the polynomial: a spike bends once or twice
_POINTS = 24
_DENSE = 200  # points of a line on which the nearest one is looked for
_SHORTEST_ARROW = 1e-3
_STEP_PX = 4.0  # a cell


def overview_axis(
    spike: NDArray[np.bool_],
    arrows: NDArray[np.float32],
    *,
    thresholds: NetworkThresholds,
) -> tuple[NDArray[np.float64], float]:
    """Return the line through the middle of the spike, and how much of it something lies over.

    Parameters
    ----------
    spike
        bool of shape (rows, columns): the spike in the square.
    arrows
        float32 of shape (2, cells): row and column component of base to tip in the spike's cells.
    thresholds
        When the arrows agree.

    Returns
    -------
    axis
        float64 of shape (24, 2): (row, column) from base to tip, px.
    hidden_share
        Share of its length without a pixel of spike, 0..1.

    Notes
    -----
    The tip is where the mean arrow points. Where the arrows contradict one another, the long side
    of the tissue gives the line, and without any hint the upper end is the tip, as a spike stands.
    """
    pixels = np.argwhere(spike).astype(np.float64)
    middle = pixels.mean(axis=0)
    towards_tip = _direction(pixels - middle, arrows, thresholds=thresholds)
    across = np.array([-towards_tip[1], towards_tip[0]])
    along, offset = (pixels - middle) @ towards_tip, (pixels - middle) @ across
    first = along.min()
    step = ((along - first) / _STEP_PX).astype(np.intp)
    count = np.bincount(step)
    filled = np.flatnonzero(count)
    place = np.bincount(step, along)[filled] / count[filled]
    mean_offset = np.bincount(step, offset)[filled] / count[filled]
    fit = np.polynomial.Polynomial.fit(
        place, mean_offset, min(_BENDS, len(filled) - 1), w=np.sqrt(count[filled])
    )
    places = np.linspace(first, along.max(), _POINTS)
    axis = middle + places[:, None] * towards_tip + fit(places)[:, None] * across
    return axis, 1 - len(filled) / len(count)


def arrows_in(maps: NDArray[np.float32], cells: NDArray[np.bool_]) -> NDArray[np.float32]:
    """Return the arrows of some cells, float32 of shape (2, cells), 1 long or nothing.

    The network is fitted on where they point alone.
    """
    arrows = maps[OverviewMap.DIRECTION : OverviewMap.DIRECTION + 2, cells]
    return np.asarray(arrows / np.maximum(np.hypot(*arrows), _SHORTEST_ARROW), dtype=np.float32)


def half_width_px(spike: Spike) -> float:
    """Return how far the outline of a spike lies from its axis at most, px of the photo."""
    places = np.linspace(0, len(spike.axis) - 1, _DENSE)
    line = np.stack([np.interp(places, np.arange(len(spike.axis)), part) for part in spike.axis.T])
    apart = np.hypot(*(spike.outline[:, :, None] - line[None]).transpose(1, 0, 2))
    return float(apart.min(axis=1).max())


def _direction(
    places: NDArray[np.float64], arrows: NDArray[np.float32], *, thresholds: NetworkThresholds
) -> NDArray[np.float64]:
    mean = np.zeros(2) if arrows.shape[1] == 0 else arrows.mean(axis=1).astype(np.float64)
    agreement = float(np.hypot(*mean))
    if agreement >= thresholds.direction_sure:
        return np.asarray(mean / agreement)
    spread = np.cov(places.T) + 1e-9 * np.eye(2)
    longest: NDArray[np.float64] = np.linalg.eigh(spread)[1][:, 1]
    hint = float(longest @ mean) if agreement > 0 else -float(longest[0])
    return longest if hint >= 0 else -longest
