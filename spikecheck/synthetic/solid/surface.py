"""Smooth normals for merged meshes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Codes, Floats


def vertex_normals(vertices: Floats, faces: Codes) -> Floats:
    """Return one normal a vertex, float32 of shape (V, 3): the mean of its faces' by area.

    A vertex of no face gets (0, 0, 1). Parts with sharp edges repeat the vertices along them.
    """
    a, b, c = (vertices[faces[:, k]].astype(np.float64) for k in range(3))
    normal = np.cross(b - a, c - a)
    total = np.zeros((len(vertices), 3))
    for axis in range(3):
        for corner in range(3):
            total[:, axis] += np.bincount(
                faces[:, corner], weights=normal[:, axis], minlength=len(vertices)
            )
    length = np.linalg.norm(total, axis=1, keepdims=True)
    flat = length[:, 0] < 1e-12  # noqa: PLR2004  (no face, or faces without area)
    total[flat], length[flat] = (0, 0, 1), 1
    return np.asarray(total / length, np.float32)
