"""Meshes: what a part must be, how parts merge, laws of the building blocks."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.errors import RenderError
from spikecheck.synthetic.solid.mesh import bezier, frame, grid_faces, hairs, tube
from spikecheck.synthetic.solid.part import Material, Part, merged_by_material

number = st.floats(-3, 3, allow_nan=False, width=32)
vector = st.tuples(number, number, number).filter(lambda v: np.linalg.norm(v) > 0.1)


def triangle(organ, material=Material.LEAF, colour=0.5):
    return Part(
        "triangle",
        np.eye(3, dtype=np.float32),
        np.array([[0, 1, 2]], np.int32),
        np.full((3, 3), colour, np.float32),
        material,
        organ,
    )


def volume(mesh):
    """Signed volume by the divergence theorem: positive when faces look outwards."""
    a, b, c = (mesh.vertices[mesh.faces[:, i]].astype(float) for i in range(3))
    return float((a * np.cross(b, c)).sum() / 6)


def test_parts_of_one_material_become_one_mesh_that_knows_its_organs():
    merged = merged_by_material(
        [triangle(3), triangle(5, Material.STEM), triangle(4, colour=0.2), triangle(3)]
    )
    assert list(merged) == [Material.LEAF, Material.STEM]
    leaf = merged[Material.LEAF]
    assert leaf.organs.tolist() == [3, 4, 3]
    assert leaf.faces.tolist() == [[0, 1, 2], [3, 4, 5], [6, 7, 8]]
    assert leaf.vertices.shape == leaf.colours.shape == (9, 3)
    assert leaf.colours[3:6] == pytest.approx(0.2)


def test_a_face_without_its_vertex_is_refused():
    with pytest.raises(RenderError, match="vertex"):
        Part("x", np.zeros((2, 3)), np.array([[0, 1, 2]]), np.zeros((2, 3)), Material.STEM, 1)


def test_colours_must_fit_the_vertices():
    with pytest.raises(RenderError, match="colour"):
        Part("x", np.zeros((3, 3)), np.array([[0, 1, 2]]), np.zeros((2, 3)), Material.STEM, 1)


def test_a_straight_tube_holds_the_volume_of_its_prism():
    path = np.stack([np.zeros(9), np.zeros(9), np.linspace(0, 4, 9)], axis=1)
    sides = 24
    prism = 4 * 0.5 * sides * 0.5**2 * np.sin(2 * np.pi / sides)
    assert volume(tube(path, 0.5, np.ones(3), sides=sides)) == pytest.approx(prism, rel=1e-4)


@given(vector, vector)
@settings(max_examples=25)
def test_tubes_and_hairs_look_outwards(start, way):
    line = np.array(start) + np.linspace(0, 1, 6)[:, None] * np.array(way)
    assert volume(tube(line, 0.05, np.ones(3), sides=6)) > 0
    spike = hairs(line[:1], line[-1:], 0.05, np.ones(3))
    assert len(spike.faces) == 3
    normals = np.cross(
        spike.vertices[spike.faces[:, 1]] - spike.vertices[spike.faces[:, 0]],
        spike.vertices[spike.faces[:, 2]] - spike.vertices[spike.faces[:, 0]],
    )
    away = spike.vertices[spike.faces].mean(axis=1) - spike.vertices.mean(axis=0)
    assert ((normals * away).sum(axis=1) > 0).all()


@given(vector, vector)
@settings(max_examples=25)
def test_frames_keep_lengths_and_hands(along, outward):
    if np.linalg.norm(np.cross(along, outward)) < 0.05:
        return
    place = frame([1, 2, 3], np.array(along), np.array(outward))
    assert place.axes @ place.axes.T == pytest.approx(np.eye(3), abs=1e-4)
    assert np.linalg.det(place.axes) == pytest.approx(1, abs=1e-4)
    points = np.array([[0.3, -1, 2], [4, 0, 1]], np.float32)
    assert place.find(place.place(points)) == pytest.approx(points, abs=1e-3)


def test_a_curve_starts_and_ends_at_its_outer_corners():
    curve = bezier([[0, 0, 0], [1, 5, 0], [2, 0, 0]], 5)
    assert curve[[0, -1]] == pytest.approx(np.array([[0, 0, 0], [2, 0, 0]]))
    assert curve[2] == pytest.approx([1, 2.5, 0])  # (P0 + 2 P1 + P2) / 4 at the middle


def test_a_grid_has_two_triangles_a_cell():
    assert len(grid_faces(4, 6)) == 2 * 3 * 5
    assert len(grid_faces(4, 6, closed=True)) == 2 * 3 * 6
