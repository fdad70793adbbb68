"""A mesh of fingers, fine enough for creases where the camera sees it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.fingers import distance
from spikecheck.synthetic.solid.surface import vertex_normals

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.arrays import Codes, Floats
    from spikecheck.synthetic.solid.fingers import Finger

_VOXEL_MM = 0.8
_COARSE = 4  # voxels of a first look for the skin


def hand_mesh(
    fingers: Sequence[Finger], low: Floats, high: Floats, *, splits: int = 2
) -> tuple[Floats, Codes]:
    """Return vertices and faces of the fingers inside a box; empty when none is there.

    Parameters
    ----------
    fingers
        The fingers.
    low, high
        Corners of the box, (3,), mm.
    splits
        How often triangles facing the camera (-y) are split in four.
    """
    from skimage.measure import marching_cubes

    shape = np.ceil((high - low) / _VOXEL_MM).astype(int) + 1
    field = _field(fingers, low, shape)
    if not field.min() < 0 < field.max():
        return np.empty((0, 3), np.float32), np.empty((0, 3), np.int32)
    vertices, faces, _, _ = marching_cubes(field, 0.0)
    vertices = (vertices * _VOXEL_MM + low).astype(np.float32)
    faces = faces.astype(np.int32)
    for _ in range(splits):
        vertices, faces = _split(vertices, faces)
    return vertices, faces


def _field(fingers: Sequence[Finger], low: Floats, shape: np.ndarray) -> Floats:
    """Return the distance on the grid; far from the skin only roughly."""
    coarse = [np.arange(0, n + _COARSE, _COARSE) for n in shape]
    rough = distance(fingers, _grid(coarse, low)).reshape([len(axis) for axis in coarse])
    field = rough.repeat(_COARSE, 0).repeat(_COARSE, 1).repeat(_COARSE, 2)
    field = np.ascontiguousarray(field[: shape[0], : shape[1], : shape[2]])
    near = np.abs(field) < _COARSE * _VOXEL_MM * 2.2
    places = np.argwhere(near).astype(np.float32) * _VOXEL_MM + low
    field[near] = distance(fingers, places.astype(np.float32))
    return field


def _grid(axes: list[np.ndarray], low: Floats) -> Floats:
    mesh = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    return (mesh * _VOXEL_MM + low).astype(np.float32)


def _split(vertices: Floats, faces: Codes) -> tuple[Floats, Codes]:
    """Split triangles that face the camera, and halve those beside them so that none gapes."""
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    chosen = np.cross(b - a, c - a)[:, 1] < 0
    edges = np.stack([faces, np.roll(faces, -1, axis=1)], axis=-1)  # (F, 3, 2)
    keys = np.sort(edges, axis=-1)
    code = keys[..., 0].astype(np.int64) * len(vertices) + keys[..., 1]
    cut_codes = np.unique(code[chosen])
    place = np.searchsorted(cut_codes, code)
    place = np.minimum(place, len(cut_codes) - 1)
    is_cut = cut_codes[place] == code if len(cut_codes) else np.zeros_like(code, bool)
    middles = (vertices[cut_codes // len(vertices)] + vertices[cut_codes % len(vertices)]) / 2
    middle = np.where(is_cut, place + len(vertices), -1)
    out = [faces[~is_cut.any(axis=1)]]
    for count in (1, 2, 3):
        mask = is_cut.sum(axis=1) == count
        out.append(_pieces(faces[mask], middle[mask], count))
    return np.concatenate([vertices, middles]).astype(np.float32), np.concatenate(out).astype(
        np.int32
    )


def _pieces(faces: np.ndarray, middle: np.ndarray, count: int) -> np.ndarray:
    """Return the triangles that triangles with ``count`` cut edges fall into."""
    # Turn each triangle so that its first edge is cut (one), or its last is not (two).
    odd = np.argmax(middle >= 0, axis=1) if count == 1 else (np.argmin(middle, axis=1) + 1) % 3
    order = (odd[:, None] + np.arange(3)) % 3
    v = np.take_along_axis(faces, order, axis=1)
    m = np.take_along_axis(middle, order, axis=1)
    corners = {
        1: ((v[:, 0], m[:, 0], v[:, 2]), (m[:, 0], v[:, 1], v[:, 2])),
        2: (
            (v[:, 0], m[:, 0], v[:, 2]), (m[:, 0], m[:, 1], v[:, 2]), (m[:, 0], v[:, 1], m[:, 1]),
        ),
        3: (
            (v[:, 0], m[:, 0], m[:, 2]), (m[:, 0], v[:, 1], m[:, 1]),
            (m[:, 2], m[:, 1], v[:, 2]), (m[:, 0], m[:, 1], m[:, 2]),
        ),
    }[count]  # fmt: skip
    return np.concatenate([np.stack(corner, axis=1) for corner in corners])


def displaced(vertices: Floats, faces: Codes, height_mm: Floats) -> Floats:
    """Return vertices moved outwards by heights, (V,)."""
    return np.asarray(vertices + vertex_normals(vertices, faces) * height_mm[:, None], np.float32)
