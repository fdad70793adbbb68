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

from spikecheck.imaging.morphology import closed, depth_px, opened

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import SegmentationThresholds


_CONNECTIVITY = 8
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
    bodies = [_body(piece) for piece in _joined(pieces, thresholds=thresholds)]
    bodies = [
        body
        for body in bodies
        if thresholds.body_elongation_low
        <= body.length_px / body.width_px
        <= thresholds.body_elongation_high
    ]
    return tuple(sorted(bodies, key=lambda body: -body.length_px))


def _components(mask: NDArray[np.bool_], *, least_px: float) -> list[NDArray[np.bool_]]:
    # the method of blocks: three times as fast as the default
    count, labels, stats, _ = cv2.connectedComponentsWithStatsWithAlgorithm(
        mask.astype(np.uint8), _CONNECTIVITY, cv2.CV_32S, cv2.CCL_BBDT
    )
    return [labels == i for i in range(1, count) if stats[i, cv2.CC_STAT_AREA] >= least_px]


def _thick_pieces(
    component: NDArray[np.bool_], *, thresholds: SegmentationThresholds
) -> list[NDArray[np.bool_]]:
    """Drop awns, join spikelets, drop peduncle and leaves; each radius in half widths.

    Works in the box round the component: no step reaches beyond its convex hull.
    """
    box = _box(component)
    within = component[box]
    thick = opened(within, thresholds.awn_opening_share * _half_width(within))
    joined = closed(thick, thresholds.body_closing_share * _half_width(thick))
    bodies = np.zeros_like(component)
    bodies[box] = opened(joined, thresholds.body_opening_share * _half_width(joined))
    return _components(bodies, least_px=thresholds.body_area_low * component.size)


def _box(mask: NDArray[np.bool_]) -> tuple[slice, slice]:
    """Return the box round ``mask`` (at least one pixel) with a pixel more on each side."""
    left, top, width, height = cv2.boundingRect(mask.astype(np.uint8))
    return slice(max(top - 1, 0), top + height + 1), slice(max(left - 1, 0), left + width + 1)


def _half_width(mask: NDArray[np.bool_]) -> float:
    return float(depth_px(mask).max())


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """A mask and the convex hull of its pixels, float32 of shape (N, 2): (row, column)."""

    mask: NDArray[np.bool_]
    hull: NDArray[np.float32]

    def with_other(self, other: _Piece) -> _Piece:
        return _Piece(self.mask | other.mask, _hull(np.concatenate([self.hull, other.hull])))


def _joined(pieces: list[NDArray[np.bool_]], *, thresholds: SegmentationThresholds) -> list[_Piece]:
    """Join pieces that lie in one line: a finger or a tag across a spike cuts it in two."""
    largest = sorted(pieces, key=lambda mask: -int(mask.sum()))[:_MOST_PIECES]
    rest = [_Piece(mask, _hull(np.argwhere(mask).astype(np.float32))) for mask in largest]
    joined: list[_Piece] = []
    while rest:
        whole = rest.pop(0)
        for other in list(rest):
            if _in_one_line(whole, other, thresholds=thresholds):
                whole = whole.with_other(other)
                rest = [piece for piece in rest if piece is not other]
        joined.append(whole)
    return joined


def _hull(points: NDArray[np.float32]) -> NDArray[np.float32]:
    return np.asarray(cv2.convexHull(points), dtype=np.float32).reshape(-1, 2)


def _in_one_line(one: _Piece, other: _Piece, *, thresholds: SegmentationThresholds) -> bool:
    both_hull = np.concatenate([one.hull, other.hull])
    (ends_one, one_px), (ends_other, other_px), (ends, both_px) = (
        _middle_line(hull) for hull in (one.hull, other.hull, both_hull)
    )
    widest = max(one_px, other_px)
    gap = _length(ends) - _length(ends_one) - _length(ends_other)
    return (
        both_px < thresholds.join_width_factor * widest
        and -0.2 * widest < gap < thresholds.join_gap_widths * widest
    )


def _length(ends: NDArray[np.float64]) -> float:
    return float(np.linalg.norm(ends[1] - ends[0]))


def _body(piece: _Piece) -> Body:
    ends, width_px = _middle_line(piece.hull)
    points = np.argwhere(piece.mask).astype(np.float32)
    return Body(piece.mask, ends, width_px, _gap_share(points, ends))


def _middle_line(hull: NDArray[np.float32]) -> tuple[NDArray[np.float64], float]:
    """Return the ends of the long middle line of the rectangle round a hull, and its width, px."""
    (row, column), sides, angle = cv2.minAreaRect(hull)
    turn = np.radians(angle if sides[0] >= sides[1] else angle + 90)
    half = max(sides) / 2 * np.array([np.cos(turn), np.sin(turn)])
    centre = np.array([row, column])
    return np.stack([centre - half, centre + half]), float(max(min(sides), 1))


def _gap_share(points: NDArray[np.float32], ends: NDArray[np.float64]) -> float:
    """Share of the middle line over which no part of the mask lies."""
    direction = ends[1] - ends[0]
    length = float(np.linalg.norm(direction)) or 1.0
    along = np.unique(np.round((points - ends[0]) @ (direction / length)))
    gaps = sum(float(b - a - 1) for a, b in pairwise(along) if b - a > 1)
    return min(1.0, gaps / length)
