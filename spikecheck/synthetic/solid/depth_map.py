"""What the camera would see first: a coarse map of the nearest surface, by splatting points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.synthetic.arrays import Codes, Floats
    from spikecheck.synthetic.solid.part import Part

_PX_PER_MM = 6.0
_FAR = 1e6


@dataclass(frozen=True, slots=True, eq=False)
class DepthMap:
    """Nearest surface along +y.

    Parameters
    ----------
    near_mm
        Shape (H, W): y of the nearest surface; very large where there is none.
    corner_mm
        x and z of the first row and column.
    """

    near_mm: Floats
    corner_mm: tuple[float, float]

    def visible_share(self, points: Floats, slack_mm: float = 0.2) -> float:
        """Return the share of points, shape (N, 3), that nothing stands in front of."""
        return float(np.mean(points[:, 1] < self.at(points) + slack_mm))

    def at(self, points: Floats) -> Floats:
        """Return y of the nearest surface at the places of points, shape (N,)."""
        row, column = self._cells(points)
        result: Floats = self.near_mm[row, column]
        return result

    def settled(self, points: Floats, most_mm: float = 1.0) -> Floats:
        """Return points moved along y onto what is seen there; those far off it are left out."""
        near = self.at(points)
        fits = np.abs(near - points[:, 1]) < most_mm
        return np.stack([points[:, 0], near, points[:, 2]], axis=1)[fits].astype(np.float32)

    def normal(self, point: Floats) -> Floats | None:
        """Return which way the surface seen at a point looks, or None at an edge or off it."""
        step = 2 / _PX_PER_MM
        offsets = step * np.array([[1, 0, 0], [-1, 0, 0], [0, 0, 1], [0, 0, -1]])
        depth = self.at(point + offsets)
        if depth.max() > _FAR / 2 or np.ptp(depth) > 2.5:  # noqa: PLR2004  (mm: an edge)
            return None
        normal = np.array(
            [(depth[0] - depth[1]) / (2 * step), -1, (depth[2] - depth[3]) / (2 * step)]
        )
        result: Floats = (normal / np.linalg.norm(normal)).astype(np.float32)
        return result

    def surface_point(
        self, rng: np.random.Generator, low_mm: float, high_mm: float
    ) -> tuple[Floats, Floats] | None:
        """Return a random seen point between two heights, and its normal; None if none is found."""
        filled = np.argwhere(self.near_mm < _FAR / 2)
        z = filled[:, 0] / _PX_PER_MM + self.corner_mm[1]
        filled = filled[(z >= low_mm) & (z <= high_mm)]
        for _ in range(30 if len(filled) else 0):
            row, column = filled[rng.integers(len(filled))]
            point = np.array(
                [
                    column / _PX_PER_MM + self.corner_mm[0],
                    self.near_mm[row, column],
                    row / _PX_PER_MM + self.corner_mm[1],
                ],
                np.float32,
            )
            normal = self.normal(point)
            if normal is not None and normal[1] < -0.3:  # noqa: PLR2004  (turned to the camera)
                return point, normal
        return None

    def _cells(self, points: Floats) -> tuple[Codes, Codes]:
        height, width = self.near_mm.shape
        column = np.rint((points[:, 0] - self.corner_mm[0]) * _PX_PER_MM).astype(np.int32)
        row = np.rint((points[:, 2] - self.corner_mm[1]) * _PX_PER_MM).astype(np.int32)
        return np.clip(row, 0, height - 1), np.clip(column, 0, width - 1)


def depth_map(parts: Iterable[Part]) -> DepthMap:
    """Return the map of what is there so far."""
    points = np.concatenate([_points(part) for part in parts])
    corner = points[:, [0, 2]].min(axis=0) - 1
    size = np.ceil((points[:, [0, 2]].max(axis=0) - corner + 1) * _PX_PER_MM).astype(int)
    near = np.full((size[1] + 1, size[0] + 1), _FAR, np.float32)
    cells = np.rint((points[:, [0, 2]] - corner) * _PX_PER_MM).astype(int)
    np.minimum.at(near, (cells[:, 1], cells[:, 0]), points[:, 1])
    return DepthMap(_filled(near), (float(corner[0]), float(corner[1])))


def _points(part: Part) -> Floats:
    middle = part.vertices[part.faces].mean(axis=1)
    return np.concatenate([part.vertices, middle])


def _filled(near: Floats) -> Floats:
    """Return the map with holes between splats closed from their neighbours."""
    padded = np.pad(near, 1, constant_values=_FAR)
    height, width = near.shape
    around = [padded[r : r + height, c : c + width] for r in range(3) for c in range(3)]
    stack = np.sort(np.stack(around), axis=0)
    middle = stack[2]  # of nine: a hole or a gap between splats, not an outer edge
    return np.where((near > middle + 1) & (stack[4] < _FAR / 2), middle, near).astype(np.float32)
