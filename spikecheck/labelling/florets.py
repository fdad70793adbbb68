"""Sides, positions and ids of florets that people marked, and which floret an anther sits in."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.vocabulary import Point, Side

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import PhotoTruth, TrueAnther, TrueFloret

FRONT_SHARE = 0.25
"""A floret nearer to the axis than this share of its own width stands in front (own judgement)."""


def numbered(
    florets: Sequence[TrueFloret], axis: Sequence[Point] | None, truth: PhotoTruth
) -> tuple[TrueFloret, ...]:
    """Give florets side, position and id, ordered by side, then from base to tip.

    Parameters
    ----------
    florets
        In any order; their sides, positions and ids are not looked at.
    axis
        The spike's axis from base to tip as the check found it, at least two points.
    truth
        Of the photo: the axis that a person marked comes first. Without either, the photo's
        upright middle line counts, with the base at the bottom.
    """
    line = truth.axis or axis or _middle_line(truth)
    placed = [_placed(floret, line) for floret in florets]
    order = {side: number for number, side in enumerate(Side)}
    placed.sort(key=lambda floret: (order[floret.side], floret.position))
    counts: Counter[Side] = Counter()
    done = []
    for floret in placed:
        counts[floret.side] += 1
        done.append(replace(floret, id=f"{floret.side.letter}{counts[floret.side]}"))
    return tuple(done)


def floret_at(place: Point, florets: Sequence[TrueFloret]) -> TrueFloret | None:
    """Return the floret whose box holds ``place``, of several the one with the nearest middle."""
    around = [floret for floret in florets if floret.box.contains(place)]
    return min(around, key=lambda floret: _distance_px(floret.centre, place), default=None)


def with_floret_ids(
    anthers: Sequence[TrueAnther], florets: Sequence[TrueFloret]
) -> tuple[TrueAnther, ...]:
    """Return the anthers, each with the id of the floret it lies in, or None."""
    found = [floret_at(anther.centre, florets) for anther in anthers]
    return tuple(
        replace(anther, floret=None if floret is None else floret.id)
        for anther, floret in zip(anthers, found, strict=True)
    )


def usual_side_px(florets: Sequence[TrueFloret], truth: PhotoTruth) -> float:
    """Return how wide a floret is in this photo, px.

    Parameters
    ----------
    florets
        Florets of this photo, marked or proposed.
    truth
        Of the photo. Without any floret, a twenty-fifth of its longer side: a prepared spike of
        about 90 mm that fills the frame, florets 3.5 mm wide (*common practice* for wheat).
    """
    if not florets:
        return max(truth.width, truth.height) / 25
    boxes = [floret.box for floret in florets]
    sides = [((box.bottom - box.top) + (box.right - box.left)) / 2 for box in boxes]
    return float(np.median(sides))


def place_on_spike(
    place: Point, axis: Sequence[Point], *, half_width_px: float
) -> tuple[float, Side]:
    """Return position along the spike, 0 at the base and 1 at the tip, and the side of a place.

    Parameters
    ----------
    place
        The place.
    axis
        The spike's axis from base to tip, at least two points.
    half_width_px
        Up to which distance from the axis a place stands in front, px.
    """
    line = np.array([(point.row, point.column) for point in axis])
    steps = np.diff(line, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    centre = np.array([place.row, place.column])
    squares = np.maximum(lengths**2, np.finfo(float).tiny)
    along = np.clip(((centre - line[:-1]) * steps).sum(axis=1) / squares, 0, 1)
    feet = line[:-1] + along[:, None] * steps
    away = centre - feet
    nearest = int(np.argmin(np.hypot(away[:, 0], away[:, 1])))
    total_px = float(lengths.sum())
    walked_px = float(lengths[:nearest].sum() + along[nearest] * lengths[nearest])
    position = min(walked_px / total_px, 1.0) if total_px > 0 else 0.0
    return position, _side(away[nearest], steps[nearest], half_width_px)


def _placed(floret: TrueFloret, axis: Sequence[Point]) -> TrueFloret:
    half_px = FRONT_SHARE * (floret.box.right - floret.box.left)
    position, side = place_on_spike(floret.centre, axis, half_width_px=half_px)
    return replace(floret, side=side, position=position)


def _side(
    away: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    ahead: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    half_px: float,
) -> Side:
    """Return the side as seen with the tip upwards; ``away`` and ``ahead`` are (row, column)."""
    length_px = float(np.hypot(*ahead))
    # With the tip upwards (-1, 0), a column to the right gives a positive number.
    right_px = float(ahead[1] * away[0] - ahead[0] * away[1]) / max(length_px, 1e-9)
    if abs(right_px) < half_px:
        return Side.FRONT
    return Side.RIGHT if right_px > 0 else Side.LEFT


def _middle_line(truth: PhotoTruth) -> tuple[Point, Point]:
    return Point(truth.height, truth.width / 2), Point(0, truth.width / 2)


def _distance_px(a: Point, b: Point) -> float:
    return float(np.hypot(a.row - b.row, a.column - b.column))
