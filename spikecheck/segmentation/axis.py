"""The line along a spike from base to tip.

The line goes through the middle of the body's cross sections, smoothed by a low polynomial. The
base is where the peduncle goes on: a run of plant a tenth to a half as wide as the body. Unless
that is clear, the lower end in the picture is taken for the base, as a spike stands.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.segmentation.body import Body
    from spikecheck.thresholds import SegmentationThresholds

_BENDS = 3  # degree of the polynomial: a spike bends once or twice
_POINTS = 24


def body_axis(
    body: Body, plant: NDArray[np.bool_], *, thresholds: SegmentationThresholds
) -> NDArray[np.float64]:
    """Return the axis of ``body`` from base to tip.

    Parameters
    ----------
    body
        The spike's body in the reduced picture.
    plant
        bool of shape (rows, columns): plant tissue in the reduced picture.
    thresholds
        Width of a peduncle as a share of the body's.

    Returns
    -------
    axis
        float64 of shape (24, 2): (row, column) in px of the reduced picture.
    """
    axis = _middle_line(body)
    first, last = (
        _peduncle_evidence(end, axis, body, plant, thresholds=thresholds) for end in (0, -1)
    )
    unclear = abs(first - last) < thresholds.peduncle_sections
    base_first = axis[0, 0] > axis[-1, 0] if unclear else first > last
    return axis if base_first else axis[::-1]


def _middle_line(body: Body) -> NDArray[np.float64]:
    direction = (body.ends[1] - body.ends[0]) / body.length_px
    across = np.array([-direction[1], direction[0]])
    points = np.argwhere(body.mask) - body.ends[0]
    along, offset = points @ direction, points @ across
    bends = min(_BENDS, len(np.unique(np.round(along))) - 1)
    fit = np.polynomial.Polynomial.fit(along, offset, max(bends, 0))
    places = np.linspace(along.min(), along.max(), _POINTS)
    return np.asarray(
        body.ends[0] + places[:, None] * direction + fit(places)[:, None] * across,
        dtype=np.float64,
    )


def _peduncle_evidence(
    end: int,
    axis: NDArray[np.float64],
    body: Body,
    plant: NDArray[np.bool_],
    *,
    thresholds: SegmentationThresholds,
) -> int:
    """Count the cross sections beyond ``end`` that look like a peduncle."""
    inner = axis[2] if end == 0 else axis[-3]
    outwards = axis[end] - inner
    outwards = outwards / np.linalg.norm(outwards)
    across = np.array([-outwards[1], outwards[0]])
    reach = np.arange(-0.7 * body.width_px, 0.7 * body.width_px)
    count = 0
    for step in np.linspace(0.3, 1.3, 11) * body.width_px:
        places = np.round(axis[end] + step * outwards + reach[:, None] * across).astype(int)
        inside = np.all((places >= 0) & (places < plant.shape), axis=1)
        hits = plant[tuple(places[inside].T)]
        run = _longest_run(hits)
        alone = (
            hits.sum() < thresholds.peduncle_alone * run
        )  # awns come in bunches, a peduncle comes alone
        share = run / body.width_px
        count += alone and thresholds.peduncle_width_low < share < thresholds.peduncle_width_high
    return count


def _longest_run(hits: NDArray[np.bool_]) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], hits.astype(np.int8), [0]])))
    return int((edges[1::2] - edges[::2]).max()) if edges.size else 0
