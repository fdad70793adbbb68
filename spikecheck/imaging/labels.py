"""Places floret labels beside the spike, where they hide nothing.

Labels stand in two columns, one on each side of the spike and parallel to it, as near to the height
of their floret as the neighbours allow. A line leads from each to its floret.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import isotonic_regression

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Direction:
    """Directions along and across a spike, unit vectors (row, column)."""

    along: NDArray[np.float64]
    across: NDArray[np.float64]


def spike_direction(axis: NDArray[np.float64] | None) -> Direction:
    """Return the direction from the first to the last point of ``axis``; upwards without one."""
    along = np.array([-1.0, 0.0])
    if axis is not None:
        chord = axis[-1] - axis[0]
        length_px = float(np.hypot(*chord))
        if length_px > 0:
            along = chord / length_px
    return Direction(along, np.array([along[1], -along[0]]))


def label_places(
    marks: NDArray[np.float64],
    *,
    edges: NDArray[np.float64],
    direction: Direction,
    size: tuple[float, float],
    gap_px: float,
) -> NDArray[np.float64]:
    """Return where the middle of each mark's label goes.

    Parameters
    ----------
    marks
        float64 array of shape (N, 2): the florets' marks, (row, column), px.
    edges
        float64 array of shape (M, 2): points the columns stay clear of, the spike's outline.
    direction
        Of the spike.
    size
        Height and width of a label, px.
    gap_px
        Least room between the spike and a column.

    Returns
    -------
    ndarray of float64, shape (N, 2)
        (row, column), px; may lie outside the photo. No two labels overlap.
    """
    if not len(marks):
        return np.empty((0, 2))
    along, across = marks @ direction.along, marks @ direction.across
    solid = np.concatenate([edges, marks]) @ direction.across
    low, high = float(solid.min()), float(solid.max())
    # Two labels in a column stay apart once they do so in rows or in columns.
    with np.errstate(divide="ignore", over="ignore"):
        step = float(np.min(np.asarray(size) / np.abs(direction.along)))
    reach_across = float(np.abs(direction.across) @ size)
    right = _right_of_middle(across, (low + high) / 2)
    places = np.empty_like(marks)
    for side, column in (
        (right, high + gap_px + reach_across / 2), (~right, low - gap_px - reach_across / 2),
    ):  # fmt: skip
        chosen = np.flatnonzero(side)
        spots = spread(along[chosen], step=step)
        places[chosen] = spots[:, None] * direction.along + column * direction.across
    return places


def spread(wanted: NDArray[np.float64], *, step: float) -> NDArray[np.float64]:
    """Return the places nearest to ``wanted``, by least squares, at least ``step`` apart.

    Less their steps, such places only have to keep their order: an isotonic regression. Labels that
    would collide form a block centred on where they want to be.

    Parameters
    ----------
    wanted
        float64 array of shape (N,), in any order.
    step
        Least distance between two places.
    """
    if not len(wanted):
        return np.empty(0)
    order = np.argsort(wanted, kind="stable")
    steps = step * np.arange(len(wanted))
    places = np.empty(len(wanted))
    places[order] = isotonic_regression(wanted[order] - steps).x + steps
    return places


def _right_of_middle(across: NDArray[np.float64], middle: float) -> NDArray[np.bool_]:
    """Return which marks get the column at the higher ``across``; evens out a lopsided crowd."""
    right = across > middle
    surplus = int(right.sum()) - int((~right).sum())
    crowd = right if surplus > 0 else ~right
    # Those nearest the middle change sides until neither column holds more than twice the other.
    nearest: Sequence[int] = [i for i in np.argsort(np.abs(across - middle)) if crowd[i]]
    moved = max(0, (abs(surplus) - len(across) // 3) // 2)
    right[list(nearest[:moved])] ^= True
    return right
