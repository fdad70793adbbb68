"""A paper tag on a string, with marks that look printed or written but say nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.lattice_noise import LatticeNoise
from spikecheck.synthetic.solid.part import Material, Part

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats

_STEP_MM = 0.2
# Paper tags as sold for plots: white, manila, yellow, pink, pale green, pale blue (own choice).
_PAPERS = (
    (244, 243, 238), (226, 204, 150), (248, 226, 96), (244, 176, 190), (190, 224, 180),
    (176, 206, 232),
)  # fmt: skip
_INKS = ((20, 20, 24), (30, 40, 110), (90, 90, 96), (130, 30, 34))
_STRING_CORNERS = 8


def draw_tag(axis: Floats, rng: np.random.Generator, *, organ: int) -> tuple[Part, Part]:
    """Draw a tag that hangs at the stem, and its string, as two parts of one organ.

    Parameters
    ----------
    axis
        The spike's axis from base to tip in the world, (M, 3), mm.
    rng
        Where the chances come from.
    organ
        Index of the tag.
    """
    side = float(rng.choice([-1, 1]))
    tied = axis[0] + np.array([0, 0, -rng.uniform(8, 18)], np.float32)
    width, height = rng.uniform(14, 26), rng.uniform(26, 55)
    turn = side * rng.uniform(0.1, 1.3)
    down = np.array([np.sin(turn), rng.normal(0, 0.15), -np.cos(turn)])
    down /= np.linalg.norm(down)
    across = np.cross(down, np.array([rng.normal(0, 0.35), -1.0, rng.normal(0, 0.2)]))
    across /= np.linalg.norm(across)
    hole = tied + np.array([side * rng.uniform(3, 9), -rng.uniform(1.5, 4), -rng.uniform(0, 8)])
    rows, columns = int(height / _STEP_MM), int(width / _STEP_MM)
    v, u = np.meshgrid(
        np.linspace(0, height, rows), np.linspace(-width / 2, width / 2, columns), indexing="ij"
    )
    noise = LatticeNoise(rng)
    flat = np.stack([u.ravel(), v.ravel(), np.zeros(u.size)], axis=1)
    lift = rng.normal(0, 0.012) * u**2 + rng.normal(0, 0.004) * (v - height / 2) ** 2
    lift = lift + 0.5 * noise.at(flat, 12.0).reshape(u.shape) * rng.uniform(0, 1)
    normal = np.cross(across, down)
    points = hole + u[..., None] * across + (v - 3)[..., None] * down + lift[..., None] * normal
    colours = _printed(u.shape, noise, flat, rng)
    index = np.arange(u.size).reshape(u.shape)
    a, b, c, d = index[:-1, :-1], index[:-1, 1:], index[1:, 1:], index[1:, :-1]
    faces = np.concatenate(
        [np.stack([x.ravel() for x in q], axis=1) for q in ((a, b, c), (a, c, d))]
    )
    kept = _outline(u, v, width, height, rng).ravel()
    faces = faces[kept[faces].all(axis=1)].astype(np.int32)
    paper = Part(
        "tag", points.reshape(-1, 3).astype(np.float32), faces, colours, Material.PAPER, organ
    )
    return paper, _string(tied, hole, rng, organ)


def _outline(
    u: Floats, v: Floats, width: float, height: float, rng: np.random.Generator
) -> np.ndarray:
    """Return where there is paper: bevelled upper corners or not, and a hole for the string."""
    bevel = rng.uniform(2, 6) if chance(rng, 0.6) else 0.0
    inside = (width / 2 - np.abs(u)) + v >= bevel
    return inside & ((u**2 + (v - 3) ** 2) > rng.uniform(1.0, 2.0) ** 2) & (v <= height)


def _printed(
    shape: tuple[int, ...], noise: LatticeNoise, flat: Floats, rng: np.random.Generator
) -> Floats:
    """Return the colours of the paper with lines of strokes, bars and blocks, (N, 3)."""
    paper = jittered(rng, _PAPERS[rng.integers(len(_PAPERS))], 5)
    ink = linear(_INKS[rng.integers(len(_INKS))])
    cover = np.zeros(shape, np.float32)
    row = int(rng.uniform(5, 9) / _STEP_MM)
    while row < shape[0] - 12:
        kind = rng.choice(["strokes", "strokes", "bars", "blocks", "rule", "nothing"])
        tall = int(rng.uniform(1.4, 3.4) / _STEP_MM)
        if kind == "bars":
            tall = int(rng.uniform(5, 9) / _STEP_MM)
            runs = rng.integers(1, 5, shape[1])
            stripes = np.repeat(np.arange(len(runs)) % 2, runs)[: shape[1] - 20]
            cover[row : row + tall, 10:-10] = stripes[None]
        elif kind == "blocks":
            cell, count = int(rng.integers(2, 5)), int(rng.integers(10, 19))
            block = np.kron(rng.integers(0, 2, (count, count)), np.ones((cell, cell)))
            block = block[: shape[0] - row - 4, : shape[1] - 16]
            left = int(rng.integers(8, max(9, shape[1] - block.shape[1] - 7)))
            cover[row : row + block.shape[0], left : left + block.shape[1]] = block
            tall = block.shape[0]
        elif kind == "rule":
            cover[row : row + 2, 8:-8] = 1
            tall = 3
        elif kind == "strokes":
            _strokes(cover, row, tall, rng)
        row += tall + int(rng.uniform(0.8, 3) / _STEP_MM)
    grey = 0.05 * noise.at(flat, 4.0) + 0.03 * noise.at(flat, 0.5)
    stained = np.clip(noise.at(flat, 7.0) - rng.uniform(0.2, 1.2), 0, 1) * 0.5
    colours = paper * (1 + grey)[:, None]
    colours = mixed(colours, linear((134, 120, 70)), stained)
    colours = mixed(colours, ink, cover.ravel() * rng.uniform(0.6, 0.95))
    return np.clip(colours, 0.01, 0.92).astype(np.float32)


def _strokes(cover: Floats, row: int, tall: int, rng: np.random.Generator) -> None:
    """Draw a line of short strokes in the place of letters."""
    column = int(rng.integers(8, 16))
    bold = int(rng.integers(1, 3))
    while column < cover.shape[1] - 14:
        wide = max(3, int(tall * rng.uniform(0.4, 0.75)))
        if chance(rng, 0.85):
            for _ in range(int(rng.integers(2, 5))):
                at = int(rng.integers(0, 2))
                if chance(rng, 0.5):
                    top = row + at * tall // 2
                    x = column + int(rng.integers(0, wide))
                    cover[top : row + tall, x : x + bold] = 1
                else:
                    y = row + int(rng.integers(0, 3)) * (tall // 2)
                    cover[y : y + bold, column : column + wide] = 1
        column += wide + 2


def _string(tied: Floats, hole: Floats, rng: np.random.Generator, organ: int) -> Part:
    """Return a string from around the stem to the hole."""
    angle = np.linspace(0, 2 * np.pi, 24)
    ring = tied + 1.7 * np.stack([np.sin(angle), -np.cos(angle), 0.1 * np.sin(angle)], axis=1)
    t = np.linspace(0, 1, 24)[:, None]
    sag = np.array([0, -0.8, -2.5]) * np.sin(np.pi * t)
    path = np.concatenate([ring, ring[-1] * (1 - t[1:]) + hole * t[1:] + sag[1:]])
    way = np.gradient(path, axis=0)
    way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-6)
    side = np.cross(way, np.array([0.3, 0.2, 0.93]))
    side /= np.maximum(np.linalg.norm(side, axis=1, keepdims=True), 1e-6)
    over = np.cross(way, side)
    around = np.arange(_STRING_CORNERS) * 2 * np.pi / _STRING_CORNERS
    radius = rng.uniform(0.25, 0.5)
    rings = path[:, None] + radius * (
        np.cos(around)[None, :, None] * side[:, None]
        + np.sin(around)[None, :, None] * over[:, None]
    )
    index = np.arange(rings.shape[0] * _STRING_CORNERS).reshape(-1, _STRING_CORNERS)
    beside = np.roll(index, -1, axis=1)
    a, b, c, d = index[:-1].ravel(), beside[:-1].ravel(), beside[1:].ravel(), index[1:].ravel()
    faces = np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1)]).astype(np.int32)
    base = jittered(rng, (226, 216, 190), 12)
    twist = 1 + 0.18 * np.sin(np.arange(rings.shape[0])[:, None] * 1.7 + around[None] * 2)
    colours = (base * twist[..., None]).reshape(-1, 3)
    return Part(
        "string", rings.reshape(-1, 3).astype(np.float32), faces,
        np.clip(colours, 0.01, 0.9).astype(np.float32), Material.MATT, organ,
    )  # fmt: skip
