"""Spike-like bodies: thick, long pieces of plant, without stem, awns and leaves.

Works on a reduced picture. A spike's body is some six times as thick as its peduncle and far
thicker than an awn, so a morphological closing joins its spikelets and an opening with half its
own thickness drops what is thin.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import SegmentationThresholds


_MOST_PIECES = 8  # bounds the work on a cluttered picture; a spike is among the largest


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One spike-like body in the reduced picture.

    Parameters
    ----------
    mask
        bool of shape (rows, columns), reduced picture: the body.
    ends
        float64 of shape (2, 2): (row, column) of the two ends of its long middle line, px.
    width_px
        Width of the rectangle round it, px.
    hidden_share
        Share of its length at which something lies over it, 0..1.
    """

    mask: NDArray[np.bool_]
    ends: NDArray[np.float64]
    width_px: float
    hidden_share: float

    @property
    def length_px(self) -> float:
        """Distance of the ends, px."""
        return float(np.linalg.norm(self.ends[1] - self.ends[0]))


def find_bodies(
    plant: NDArray[np.bool_], *, thresholds: SegmentationThresholds
) -> tuple[Body, ...]:
    """Find spike-like bodies, longest first.

    In a picture full of plants (a canopy) none can be told apart: none is returned.

    Parameters
    ----------
    plant
        bool of shape (rows, columns): plant tissue in the reduced picture.
    thresholds
        Shape limits.
    """
    if plant.mean() > thresholds.plant_share_high:
        return ()
    pieces = [
        piece
        for component in _components(plant, least_px=thresholds.body_area_low * plant.size)
        for piece in _thick_pieces(component, thresholds=thresholds)
    ]
    bodies = [_body(mask) for mask in _joined(pieces, thresholds=thresholds)]
    bodies = [
        body
        for body in bodies
        if thresholds.body_elongation_low
        <= body.length_px / body.width_px
        <= thresholds.body_elongation_high
    ]
    return tuple(sorted(bodies, key=lambda body: -body.length_px))


def _components(mask: NDArray[np.bool_], *, least_px: float) -> list[NDArray[np.bool_]]:
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8))
    return [labels == i for i in range(1, count) if stats[i, cv2.CC_STAT_AREA] >= least_px]


def _thick_pieces(
    component: NDArray[np.bool_], *, thresholds: SegmentationThresholds
) -> list[NDArray[np.bool_]]:
    """Drop awns, join spikelets, drop peduncle and leaves; each radius in half widths."""
    thick = _opened(component, thresholds.awn_opening_share * _half_width(component))
    closed = _closed(thick, thresholds.body_closing_share * _half_width(thick))
    opened = _opened(closed, thresholds.body_opening_share * _half_width(closed))
    return _components(opened, least_px=thresholds.body_area_low * component.size)


def _half_width(mask: NDArray[np.bool_]) -> float:
    return float(_distance(mask).max())


def _distance(mask: NDArray[np.bool_]) -> NDArray[np.float32]:
    """Distance to the nearest pixel outside ``mask``, px."""
    return np.asarray(cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, 5))


def _eroded(mask: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    return _distance(mask) > radius_px


def _dilated(mask: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    return _distance(~mask) <= radius_px


def _opened(mask: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    return _dilated(_eroded(mask, radius_px), radius_px)


def _closed(mask: NDArray[np.bool_], radius_px: float) -> NDArray[np.bool_]:
    pad = int(radius_px) + 2
    padded = np.pad(mask, pad)
    return _eroded(_dilated(padded, radius_px), radius_px)[pad:-pad, pad:-pad]


def _joined(
    pieces: list[NDArray[np.bool_]], *, thresholds: SegmentationThresholds
) -> list[NDArray[np.bool_]]:
    """Join pieces that lie in one line: a finger or a tag across a spike cuts it in two."""
    rest = sorted(pieces, key=lambda mask: -int(mask.sum()))[:_MOST_PIECES]
    joined: list[NDArray[np.bool_]] = []
    while rest:
        whole = rest.pop(0)
        for other in list(rest):
            if _in_one_line(whole, other, thresholds=thresholds):
                whole = whole | other
                rest = [mask for mask in rest if mask is not other]
        joined.append(whole)
    return joined


def _in_one_line(
    one: NDArray[np.bool_], other: NDArray[np.bool_], *, thresholds: SegmentationThresholds
) -> bool:
    widths = [_body(mask).width_px for mask in (one, other)]
    both = _body(one | other)
    lengths = [_body(mask).length_px for mask in (one, other)]
    gap = both.length_px - sum(lengths)
    return both.width_px < thresholds.join_width_factor * max(widths) and -0.2 * max(
        widths
    ) < gap < thresholds.join_gap_widths * max(widths)


def _body(mask: NDArray[np.bool_]) -> Body:
    points = np.argwhere(mask).astype(np.float32)
    (row, column), sides, angle = cv2.minAreaRect(points)
    turn = np.radians(angle if sides[0] >= sides[1] else angle + 90)
    half = max(sides) / 2 * np.array([np.cos(turn), np.sin(turn)])
    centre = np.array([row, column])
    ends = np.stack([centre - half, centre + half])
    return Body(mask, ends, float(max(min(sides), 1)), _gap_share(points, ends))


def _gap_share(points: NDArray[np.float32], ends: NDArray[np.float64]) -> float:
    """Share of the middle line over which no part of the mask lies."""
    direction = ends[1] - ends[0]
    length = float(np.linalg.norm(direction)) or 1.0
    along = np.unique(np.round((points - ends[0]) @ (direction / length)))
    gaps = sum(float(b - a - 1) for a, b in pairwise(along) if b - a > 1)
    return min(1.0, gaps / length)
