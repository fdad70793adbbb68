"""The local frame of one organ on the canvas: millimetres along and across it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats


@dataclass(frozen=True, slots=True)
class Pose:
    """Where an organ starts and which way it points.

    Parameters
    ----------
    row, column
        Its base, px of the canvas.
    angle
        Direction it points in the picture, radians clockwise from upwards.
    toward
        Component of its direction towards the camera, -1..1.
    """

    row: float
    column: float
    angle: float
    toward: float = 0.0

    @property
    def along(self) -> tuple[float, float]:
        """Unit vector (row, column) along the organ."""
        return -float(np.cos(self.angle)), float(np.sin(self.angle))

    @property
    def across(self) -> tuple[float, float]:
        """Unit vector (row, column) to the organ's right when it points upwards."""
        return float(np.sin(self.angle)), float(np.cos(self.angle))

    def place(self, t_mm: float, s_mm: float, px_per_mm: float) -> tuple[float, float]:
        """Return (row, column), px, of the point ``t_mm`` along and ``s_mm`` across."""
        (tr, tc), (sr, sc) = self.along, self.across
        return (
            self.row + (t_mm * tr + s_mm * sr) * px_per_mm,
            self.column + (t_mm * tc + s_mm * sc) * px_per_mm,
        )


@dataclass(frozen=True, slots=True)
class Patch:
    """The pixels an organ may touch, with their place in its frame.

    Parameters
    ----------
    top, left
        First row and column on the canvas, px; may lie outside it.
    t, s
        float32 arrays of shape (H, W): millimetres along and across the organ.
    px_per_mm
        Scale.
    pose
        The organ's pose.
    """

    top: int
    left: int
    t: Floats
    s: Floats
    px_per_mm: float
    pose: Pose

    def cover(self, distance_mm: Floats) -> Floats:
        """Return how much of each pixel is covered, 0..1.

        Parameters
        ----------
        distance_mm
            Distance inside (positive) or outside (negative) of the edge, mm.
        """
        return np.asarray(np.clip(distance_mm * self.px_per_mm + 0.5, 0.0, 1.0), np.float32)

    def turned(self, across: Floats, along: Floats) -> tuple[Floats, Floats]:
        """Return the (column, row) components of a vector given across and along the organ."""
        (tr, tc), (sr, sc) = self.pose.along, self.pose.across
        return across * np.float32(sc) + along * np.float32(tc), across * np.float32(
            sr
        ) + along * np.float32(tr)


def patch_of(
    pose: Pose,
    *,
    t_mm: tuple[float, float],
    half_mm: float,
    px_per_mm: float,
    bend_per_mm: float = 0.0,
    within: tuple[int, int] | None = None,
) -> Patch:
    """Return the patch that holds an organ.

    Parameters
    ----------
    pose
        The organ's pose.
    t_mm
        First and last millimetre along it.
    half_mm
        Most it reaches to either side, mm, before it is bent.
    px_per_mm
        Scale.
    bend_per_mm
        Sideways bend: the midline lies at ``bend * t**2``, mm.
    within
        Height and width of the canvas, px, to leave out what large things have outside of it.
    """
    reach = half_mm + abs(bend_per_mm) * max(t_mm[0] ** 2, t_mm[1] ** 2)
    corners = [pose.place(t, s, px_per_mm) for t in t_mm for s in (-reach, reach)]
    rows, columns = [c[0] for c in corners], [c[1] for c in corners]
    top, left = int(np.floor(min(rows))) - 2, int(np.floor(min(columns))) - 2
    bottom, right = int(np.ceil(max(rows))) + 3, int(np.ceil(max(columns))) + 3
    if within is not None:
        top, left = max(top, -2), max(left, -2)
        bottom, right = max(top, min(bottom, within[0] + 2)), max(left, min(right, within[1] + 2))
    dr = (np.arange(top, bottom, dtype=np.float32) - pose.row)[:, None] / px_per_mm
    dc = (np.arange(left, right, dtype=np.float32) - pose.column)[None, :] / px_per_mm
    (tr, tc), (sr, sc) = pose.along, pose.across
    t = (dr * tr + dc * tc).astype(np.float32)
    s = (dr * sr + dc * sc).astype(np.float32) - np.float32(bend_per_mm) * t * t
    return Patch(top, left, t, s, px_per_mm, pose)
