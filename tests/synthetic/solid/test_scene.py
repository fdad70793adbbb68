"""A scene holds what was asked for, where it belongs."""

import numpy as np
import pytest

from spikecheck.synthetic.solid.fingers import Finger, distance, locate
from spikecheck.synthetic.solid.forceps_shape import draw_forceps
from spikecheck.synthetic.solid.hand_mesh import hand_mesh
from spikecheck.synthetic.solid.hand_pose import POSES
from spikecheck.synthetic.solid.hand_shape import draw_hand
from spikecheck.synthetic.solid.lattice_noise import LatticeNoise
from spikecheck.synthetic.solid.order import draw_order
from spikecheck.synthetic.solid.part import Material, OrganKind
from spikecheck.synthetic.solid.scene import draw_scene
from spikecheck.synthetic.solid.tag_shape import draw_tag

AXIS = np.stack([np.zeros(30), np.zeros(30), np.linspace(0, 60, 30)], axis=1).astype(np.float32)
ROD = Finger(
    joints=np.array([[0, 0, 0], [20, 0, 0]], np.float32),
    radii=np.array([5, 5], np.float32),
    back=np.array([0, -1, 0], np.float32),
)


@pytest.fixture(scope="module")
def scene():
    return draw_scene(draw_order(12), 12)


def test_every_part_names_an_organ_and_every_number_is_used_once(scene):
    numbers = [organ.index for organ in scene.organs]
    assert len(set(numbers)) == len(numbers)
    assert {part.organ for part in scene.parts} <= set(numbers)


def test_the_whole_spike_is_in_the_picture(scene):
    floral = {o.index for o in scene.organs if o.kind in {OrganKind.LEMMA, OrganKind.PALEA}}
    points = np.concatenate([part.vertices for part in scene.parts if part.organ in floral])
    places = scene.view.project(points)
    inside = (places >= 0) & (places <= (scene.view.height_px, scene.view.width_px))
    assert inside.all(axis=1).mean() > 0.995


def test_the_same_seed_gives_the_same_scene(scene):
    again = draw_scene(draw_order(12), 12)
    assert again.view == scene.view
    assert again.families == scene.families
    for a, b in zip(again.parts, scene.parts, strict=True):
        assert np.array_equal(a.vertices, b.vertices)
        assert np.array_equal(a.colours, b.colours)


def test_distance_to_a_rod_is_that_of_a_capsule():
    points = np.array([[10, 0, 9], [-8, 0, 0], [10, 0, 0], [28, 0, 0]], np.float32)
    assert distance([ROD], points) == pytest.approx((4, 3, -5, 3), abs=1e-5)


def test_places_on_a_finger_are_told_from_its_tip_and_its_back():
    found = locate([ROD], np.array([[7, -5, 0], [7, 5, 0], [-4, 0, 3]], np.float32))
    assert found.along == pytest.approx((7, 7, -4), abs=1e-5)
    assert found.around[0] == pytest.approx(0, abs=1e-5)
    assert abs(found.around[1]) == pytest.approx(np.pi, abs=1e-5)


@pytest.mark.parametrize("splits", [0, 1, 2])
def test_the_mesh_of_a_rod_is_closed_faces_out_and_has_its_volume(splits: int):
    low, high = np.array([-9, -9, -9], np.float32), np.array([29, 9, 9], np.float32)
    vertices, faces = hand_mesh([ROD], low, high, splits=splits)
    a, b, c = (vertices[faces[:, k]].astype(float) for k in range(3))
    volume = float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)
    assert volume == pytest.approx(np.pi * 25 * 20 + 4 / 3 * np.pi * 125, rel=0.02)
    edges = np.sort(np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
    _, counts = np.unique(edges, axis=0, return_counts=True)
    assert set(counts) == {2}  # each edge joins two faces: no gap where triangles were split


@pytest.mark.parametrize("pose", POSES)
def test_a_hand_comes_near_the_spike(pose: str):
    hand = draw_hand(AXIS, np.random.default_rng(2), organ=9, pose=pose, in_glove=pose == "tip")
    assert hand is not None
    assert hand.material is (Material.GLOVE if pose == "tip" else Material.SKIN)
    near = np.linalg.norm(hand.vertices[:, None, :2] - AXIS[None, :1, :2], axis=-1).min()
    assert near < 16
    assert 0 < hand.colours.min() <= hand.colours.max() < 1


def test_forceps_reach_the_spike_and_a_tag_hangs_below_it():
    forceps = draw_forceps(AXIS, np.random.default_rng(1), organ=5)
    assert np.linalg.norm(forceps.vertices[:, :2], axis=1).min() < 14
    paper, string = draw_tag(AXIS, np.random.default_rng(1), organ=6)
    assert paper.material is Material.PAPER
    assert string.vertices[:, 2].max() < AXIS[0, 2]
    assert len(np.unique(paper.colours[:, 0] > paper.colours[:, 0].mean())) == 2  # print shows


def test_noise_is_smooth_and_of_mean_zero():
    noise = LatticeNoise(np.random.default_rng(1))
    points = np.random.default_rng(2).uniform(0, 200, (40_000, 3))
    values = noise.at(points, 4.0)
    assert abs(values.mean()) < 0.05
    assert 0.3 < values.std() < 0.8
    # Over a hundredth of its size it hardly changes.
    assert np.abs(noise.at(points + 0.04, 4.0) - values).max() < 0.25
