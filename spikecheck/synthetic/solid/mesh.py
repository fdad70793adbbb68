"""Building blocks of meshes: grids, tubes, tufts of short hairs, frames."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.arrays import Codes, Floats


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Triangles with a colour a vertex; as in :class:`~spikecheck.synthetic.solid.part.Part`."""

    vertices: Floats
    faces: Codes
    colours: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """Where an organ sits.

    Parameters
    ----------
    origin
        Shape (3,), mm.
    axes
        Shape (3, 3): rows are the directions across, outwards (its back) and along it.
    """

    origin: Floats
    axes: Floats

    def place(self, local: Floats) -> Floats:
        """Return points given in this frame, shape (N, 3), in the frame it is itself given in."""
        return (self.origin + np.asarray(local, np.float32) @ self.axes).astype(np.float32)

    def turn(self, local: Floats) -> Floats:
        """Return directions given in this frame, shape (..., 3), turned only."""
        return (np.asarray(local, np.float32) @ self.axes).astype(np.float32)

    def find(self, points: Floats) -> Floats:
        """Return points, shape (N, 3), as seen in this frame."""
        return ((points - self.origin) @ self.axes.T).astype(np.float32)


def unit(vectors: Floats) -> Floats:
    """Return vectors of length 1, shape (..., 3)."""
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    result: Floats = (vectors / np.maximum(length, 1e-9)).astype(np.float32)
    return result


def frame(origin: Sequence[float] | Floats, along: Floats, outward: Floats) -> Frame:
    """Return the right-handed frame along ``along`` whose back looks towards ``outward``."""
    w = unit(np.asarray(along, np.float32))
    out = np.asarray(outward, np.float32)
    y = unit(out - (out @ w) * w)
    return Frame(np.asarray(origin, np.float32), np.stack([np.cross(y, w), y, w]))


def grid_faces(rows: int, columns: int, *, closed: bool = False) -> Codes:
    """Return the triangles of a grid of vertices; ``closed`` joins last and first column."""
    index = np.arange(rows * columns, dtype=np.int32).reshape(rows, columns)
    if closed:
        index = np.concatenate([index, index[:, :1]], axis=1)
    a, b = index[:-1, :-1].ravel(), index[:-1, 1:].ravel()
    c, d = index[1:, 1:].ravel(), index[1:, :-1].ravel()
    return np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1)]).astype(np.int32)


def joined(meshes: Sequence[Mesh]) -> Mesh:
    """Return several meshes as one."""
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes[:-1])])
    return Mesh(
        np.concatenate([mesh.vertices for mesh in meshes]),
        np.concatenate([m.faces + s for m, s in zip(meshes, starts, strict=True)]).astype(np.int32),
        np.concatenate([mesh.colours for mesh in meshes]),
    )


def painted(vertices: Floats, faces: Codes, colour: Floats) -> Mesh:
    """Return a mesh of one colour, or of a colour a vertex."""
    colours = np.broadcast_to(np.asarray(colour, np.float32), vertices.shape)
    return Mesh(vertices.astype(np.float32), faces, np.array(colours, np.float32))


def carried(path: Floats) -> tuple[Floats, Floats]:
    """Return two directions across each point of a path, shape (N, 3) each, without needless twist.

    Neighbouring points carry the direction on (parallel transport by projection).
    """
    tangent = unit(np.gradient(path, axis=0))
    start = np.eye(3, dtype=np.float32)[int(np.argmin(np.abs(tangent[0])))]
    across = np.empty_like(tangent)
    current = start
    for i, direction in enumerate(tangent):
        current = current - (current @ direction) * direction
        current = current / max(float(np.linalg.norm(current)), 1e-9)
        across[i] = current
    return across, np.cross(tangent, across).astype(np.float32)


def tube(path: Floats, radius: Floats | float, colour: Floats, *, sides: int = 8) -> Mesh:
    """Return a tube along a path with closed ends.

    Parameters
    ----------
    path
        Shape (N, 3), mm.
    radius
        Radius, mm, or one a point of the path.
    colour
        One colour, or one a point of the path, shape (N, 3).
    sides
        Corners of the section.
    """
    path = np.asarray(path, np.float32)
    across, third = carried(path)
    radii = np.broadcast_to(np.asarray(radius, np.float32), len(path))
    turn = np.linspace(0, 2 * np.pi, sides, endpoint=False, dtype=np.float32)
    ring = (
        np.cos(turn)[None, :, None] * across[:, None] + np.sin(turn)[None, :, None] * third[:, None]
    )
    body = path[:, None] + radii[:, None, None] * ring
    colours = np.broadcast_to(np.asarray(colour, np.float32), (len(path), 3))
    rows = np.repeat(colours[:, None], sides, axis=1).reshape(-1, 3)
    count = len(path) * sides
    around = np.arange(sides, dtype=np.int32)
    after = (around + 1) % sides
    caps = [
        np.stack([np.full(sides, count), after, around], 1),
        np.stack([np.full(sides, count + 1), count - sides + around, count - sides + after], 1),
    ]
    return Mesh(
        np.concatenate([body.reshape(-1, 3), path[[0, -1]]]).astype(np.float32),
        np.concatenate([grid_faces(len(path), sides, closed=True), *caps]).astype(np.int32),
        np.concatenate([rows, colours[[0, -1]]]).astype(np.float32),
    )


def hairs(roots: Floats, tips: Floats, radius: float, colour: Floats) -> Mesh:
    """Return many short three-sided spikes, all at once.

    Parameters
    ----------
    roots, tips
        Shape (N, 3), mm.
    radius
        Radius at the root, mm.
    colour
        One colour, or one a hair, shape (N, 3).
    """
    direction = unit(tips - roots)
    helper = np.where(np.abs(direction[:, 2:]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])  # noqa: PLR2004
    across = unit(np.cross(direction, helper))
    third = np.cross(direction, across)
    turn = np.array([0, 2.0944, 4.18879], np.float32)  # thirds of a turn
    ring = (
        np.cos(turn)[None, :, None] * across[:, None] + np.sin(turn)[None, :, None] * third[:, None]
    )
    base = roots[:, None] + radius * ring
    vertices = np.concatenate([base, tips[:, None]], axis=1)
    first = 4 * np.arange(len(roots), dtype=np.int32)[:, None, None]
    faces = first + np.array([[0, 1, 3], [1, 2, 3], [2, 0, 3]], np.int32)
    colours = np.broadcast_to(np.asarray(colour, np.float32), (len(roots), 3))
    return Mesh(
        vertices.reshape(-1, 3).astype(np.float32),
        faces.reshape(-1, 3).astype(np.int32),
        np.repeat(colours, 4, axis=0).astype(np.float32),
    )


def bezier(points: Sequence[Floats] | Floats, count: int) -> Floats:
    """Return points on the Bezier curve of the given corners, shape (count, 3) (de Casteljau)."""
    t = np.linspace(0, 1, count, dtype=np.float32)[:, None, None]
    corners = np.broadcast_to(np.asarray(points, np.float32), (count, len(points), 3))
    while corners.shape[1] > 1:
        corners = corners[:, :-1] * (1 - t) + corners[:, 1:] * t
    return corners[:, 0].astype(np.float32)
