"""Sheets as meshes: with a thick cut edge, with short hairs, with a torn slit."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.solid.mesh import Mesh, grid_faces, hairs, tube, unit
from spikecheck.synthetic.solid.waves import wave

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.hull_shape import Sheet


def sheet_mesh(sheet: Sheet, colours: Floats, *, back_out: bool) -> Mesh:
    """Return a sheet as triangles whose outer side is the plant's, in its own frame.

    ``back_out`` tells whether the second axis leaves it through its outer side, as in a lemma or
    glume; a palea looks the other way.
    """
    rows, columns = sheet.along.shape
    faces = grid_faces(rows, columns)
    return Mesh(
        sheet.points.reshape(-1, 3).astype(np.float32),
        faces[:, ::-1].copy() if back_out else faces,
        colours.reshape(-1, 3).astype(np.float32),
    )


def cut_bead(edge: Floats, colour: Floats, rng: np.random.Generator) -> Mesh:
    """Return the cut edge as a thin bead, shape of ``edge`` (N, 3): the sheet has a thickness."""
    radius = rng.uniform(0.018, 0.05) * (1 + 0.35 * wave(rng, len(edge), len(edge) // 3))
    return tube(edge, radius, colour, sides=5)


def split(mesh: Mesh, sheet: Sheet, rng: np.random.Generator) -> Mesh:
    """Return the mesh torn open along a nerve, from the edge down."""
    rows, columns = sheet.along.shape
    column = int(rng.integers(columns // 6, columns - columns // 6))
    depth = int(rows * rng.uniform(0.15, 0.5))
    row, at = np.divmod(np.arange(rows * columns), columns)
    width = np.clip((row - (rows - depth)) / max(depth, 1), 0, 1) * rng.uniform(0.6, 2.2)
    torn = (np.abs(at - column) < width) & (row > rows - depth)
    return Mesh(mesh.vertices, mesh.faces[~torn[mesh.faces].any(axis=1)], mesh.colours)


def hairy(sheet: Sheet, amount: float, rng: np.random.Generator) -> Mesh:
    """Return short hairs on the outer side of a sheet, in its own frame.

    Parameters
    ----------
    sheet
        What they stand on.
    amount
        How many, 0..1.
    rng
        Random stream.
    """
    rows, columns = sheet.along.shape
    count = int(260 * amount)
    row, column = rng.integers(2, rows - 1, count), rng.integers(1, columns - 1, count)
    points = sheet.points
    normal = unit(
        np.cross(
            points[row, column + 1] - points[row, column - 1],
            points[row + 1, column] - points[row - 1, column],
        )
    )
    axis = np.array([0, 0, 1])
    outward = np.sign(
        (normal * (points[row, column] * [1, 1, 0] + [0, 0.01, 0])).sum(axis=1, keepdims=True)
    )
    direction = unit(normal * outward + 0.7 * axis + rng.normal(0, 0.25, (count, 3)))
    shift = rng.uniform(-0.08, 0.08, (count, 3))
    roots = points[row, column] + shift - 0.02 * normal * outward
    tips = roots + direction * rng.uniform(0.25, 0.75, (count, 1))
    return hairs(roots, tips, 0.014, linear((226, 230, 214)))
