"""Pointed forceps that reach for the spike."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.lattice_noise import LatticeNoise
from spikecheck.synthetic.solid.part import Material, Part

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Codes, Floats

_LENGTH_MM = (95.0, 130.0)
_RINGS = 80
_CORNERS = 16  # points around an arm
_COATS = ((28, 28, 30), (40, 66, 140), (178, 44, 40), (206, 160, 60))


def draw_forceps(axis: Floats, rng: np.random.Generator, *, organ: int) -> Part:
    """Draw forceps whose points are at or beside the spike.

    Parameters
    ----------
    axis
        The spike's axis from base to tip in the world, (M, 3), mm.
    rng
        Where the chances come from.
    organ
        Index of the forceps.
    """
    side = float(rng.choice([-1, 1]))
    place = axis[int(rng.integers(len(axis) // 5, len(axis)))]
    point = place + np.array(
        [side * rng.uniform(2.5, 10), rng.uniform(-9, -1), rng.uniform(1, 7)], np.float32
    )
    way = np.array([side * rng.uniform(0.5, 1), rng.uniform(-0.7, 0.2), rng.uniform(-0.4, 0.9)])
    way = way / np.linalg.norm(way)
    across = np.cross(way, rng.normal(size=3))
    across = across / np.linalg.norm(across)
    length = float(rng.uniform(*_LENGTH_MM))
    opening = float(rng.uniform(0.2, 3.0))
    arms = [
        _arm(point, way, sign * across, (opening, length, rng.uniform(0.25, 0.5)))
        for sign in (-1, 1)
    ]
    vertices = np.concatenate([arm[0] for arm in arms])
    faces = np.concatenate([arms[0][1], arms[1][1] + len(arms[0][0])])
    coated = chance(rng, 0.25)
    if coated:
        base = linear(_COATS[rng.integers(len(_COATS))])
    else:
        base = np.full(3, rng.uniform(0.45, 0.75)) * np.array([1.0, 0.99, 0.96])
    noise = LatticeNoise(rng)
    brushed = noise.at(vertices @ np.stack([way, across, np.cross(way, across)]).T, (30, 0.4, 0.4))
    stains = np.clip(noise.at(vertices, 6.0) - 0.3, 0, 1)
    colours = base * (1 + 0.08 * brushed - 0.35 * stains)[:, None]
    return Part(
        name="forceps",
        vertices=vertices.astype(np.float32),
        faces=faces,
        colours=np.clip(colours, 0.01, 0.95).astype(np.float32),
        material=Material.GLOVE if coated else Material.METAL,  # lacquer shines like a glove
        organ=organ,
    )


def _arm(
    point: Floats, way: Floats, across: Floats, sizes_mm: tuple[float, float, float]
) -> tuple[Floats, Codes]:
    """Return one arm, a springy strip that ends in a point; sizes: opening, length, point."""
    opening, length, tip_mm = sizes_mm
    t = np.linspace(0, 1, _RINGS) ** 1.6
    bow = opening / 2 * (1 - t) ** 0.7 + length * 0.055 * np.sin(np.pi * t) ** 1.2 + 0.35
    middle = point + length * t[:, None] * way + bow[:, None] * across
    half_wide = tip_mm * 0.5 + 4.2 * np.clip(t / 0.3, 0, 1) ** 0.9
    half_thick = tip_mm * 0.4 + 0.35 * np.clip(t / 0.15, 0, 1)
    flat = np.cross(way, across)
    angle = np.arange(_CORNERS) * 2 * np.pi / _CORNERS
    # A superellipse: a strip with rounded edges.
    u = np.sign(np.cos(angle)) * np.abs(np.cos(angle)) ** 0.5
    v = np.sign(np.sin(angle)) * np.abs(np.sin(angle)) ** 0.5
    rings = (
        middle[:, None]
        + (half_wide[:, None] * u)[..., None] * flat
        + (half_thick[:, None] * v)[..., None] * across
    )
    end = point + opening / 2 * across + 0.35 * across - way * tip_mm
    index = np.arange(_RINGS * _CORNERS).reshape(_RINGS, _CORNERS)
    beside = np.roll(index, -1, axis=1)
    a, b, c, d = index[:-1].ravel(), beside[:-1].ravel(), beside[1:].ravel(), index[1:].ravel()
    cap = np.stack([np.full(_CORNERS, index.size), beside[0], index[0]], axis=1)
    faces = np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1), cap])
    return np.concatenate([rings.reshape(-1, 3), end[None]]), faces.astype(np.int32)
