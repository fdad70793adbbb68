"""Rachis and peduncle: a flat zigzag with collars, stumps of cut spikelets, a cut tip."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, mixed
from spikecheck.synthetic.solid.mesh import Mesh, grid_faces, hairs, joined, tube
from spikecheck.synthetic.solid.waves import cloud, mottled, wave

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.look import PlantLook

_STEPS = 8  # points of the path an internode


def node_places(rng: np.random.Generator, count: int, internode_mm: float) -> tuple[Floats, Floats]:
    """Return the nodes of the rachis, shape (count, 3), and their ranks (-1 left, 1 right).

    The first is at z = 0; internodes 2.8-5.5 mm.
    """
    steps = np.clip(internode_mm * (1 + rng.normal(0, 0.06, count)), 2.8, 5.5)
    z = np.concatenate([[0], np.cumsum(steps[:-1])])
    ranks = np.where(np.arange(count) % 2 == 0, 1, -1) * (1 if rng.random() < 0.5 else -1)  # noqa: PLR2004
    zigzag = rng.uniform(0.25, 0.7)
    nodes = np.stack(
        [-ranks * zigzag + rng.normal(0, 0.06, count), rng.normal(0, 0.06, count), z], 1
    )
    return nodes.astype(np.float32), ranks


def rachis(rng: np.random.Generator, nodes: Floats, top_mm: float, look: PlantLook) -> Mesh:
    """Return the rachis through its nodes, up to ``top_mm`` above the last, with hairy edges."""
    end = nodes[-1] + [0, 0, top_mm]
    knots = np.concatenate([nodes, end[None]])
    place = np.linspace(0, len(knots) - 1, _STEPS * (len(knots) - 1) + 1)
    path = np.stack([np.interp(place, np.arange(len(knots)), knots[:, i]) for i in range(3)], 1)
    to_node = np.abs(place - np.round(place))
    radius = 0.42 + 0.2 * np.exp(-((to_node / 0.16) ** 2)) + 0.03 * wave(rng, len(place), 12)
    radius = radius * np.linspace(1.15, 0.75, len(place))
    tone = mixed(look.stem, look.pale, np.clip(np.exp(-((to_node / 0.1) ** 2)) * 0.6, 0, 1))
    tone = tone * (1 + 0.1 * wave(rng, len(place), 20))[:, None]
    tone[-2:] = mixed(look.papery, look.cut, rng.uniform(0, 0.8))
    body = _flattened(tube(path, radius, tone, sides=12), path, 1.8)
    count = 26 * len(nodes)
    at = rng.integers(0, len(path) - 1, count)
    side = rng.choice([-1, 1], count)
    roots = path[at] + np.stack(
        [rng.normal(0, 0.2, count), side * radius[at] * 1.7, np.zeros(count)], 1
    )
    tips = roots + np.stack(
        [
            rng.normal(0, 0.2, count),
            side * rng.uniform(0.1, 0.5, count),
            rng.uniform(0.1, 0.6, count),
        ],
        1,
    )
    return joined([body, hairs(roots, tips, 0.016, look.papery)])


def stump(rng: np.random.Generator, node: Floats, rank: int, look: PlantLook) -> Mesh:
    """Return what is left of a spikelet cut off its node."""
    size = rng.uniform(0.4, 1.8)
    way = np.array([rank * rng.uniform(0.3, 0.9), rng.normal(0, 0.15), rng.uniform(0.5, 1)])
    path = node + np.linspace(0, 1, 4)[:, None] * way * size
    wound = mixed(look.papery, look.cut, rng.uniform(0.1, 0.9))
    colours = np.stack([look.stem, look.pale, look.pale, wound])
    body = tube(path, np.array([0.75, 0.95, 0.85, 0.7]) * rng.uniform(0.8, 1.1), colours, sides=10)
    return _flattened(body, path, 1.5)


def peduncle(rng: np.random.Generator, start: Floats, length_mm: float, look: PlantLook) -> Mesh:
    """Return the stem below the spike, from ``start`` down."""
    count = 36
    drop = -length_mm * np.linspace(0, 1, count) ** 1.9
    sway = rng.normal(0, 1.2, 2)
    share = (drop / length_mm) ** 2
    path = start + np.stack([sway[0] * share, sway[1] * share, drop], axis=1)
    radius = rng.uniform(0.8, 1.35) * (1 - rng.uniform(0.3, 0.5) * np.exp(drop / 3))
    radius = radius + rng.uniform(0.05, 0.25) * np.exp(-(((drop + 0.6) / 0.6) ** 2))
    tone = mixed(look.stem, look.green, rng.uniform(0, 0.8))
    tone = mixed(
        np.repeat(tone[None], count, 0), look.bloom, 0.7 * look.wax * np.linspace(0.4, 1, count)
    )
    tone = tone * (1 + 0.08 * wave(rng, count, 8))[:, None]
    return tube(path[::-1], radius[::-1], tone[::-1], sides=18)


def flag_leaf(rng: np.random.Generator, start: Floats, look: PlantLook) -> Mesh:
    """Return a leaf that leaves the stem and bends away, folded at a pale midrib, finely veined."""
    rows, columns = 60, 61
    length, width = rng.uniform(60, 120), rng.uniform(9, 15)
    share = np.linspace(0, 1, rows)
    way = rng.choice([-1, 1]) * np.array([rng.uniform(0.3, 0.9), rng.uniform(-0.3, 1.0), 0])
    up = rng.uniform(0.2, 0.8) * share - rng.uniform(0.3, 1.2) * share**2
    line = start + length * (share[:, None] * way + up[:, None] * np.array([0, 0, 1]))
    half = 0.5 * width * np.sqrt(np.clip(np.minimum(share * 6 + 0.15, 1) * (1 - share**2.5), 0, 1))
    across = np.linspace(-1, 1, columns)
    side = np.cross(np.gradient(line, axis=0), [0, 0, 1])
    side = side / np.maximum(np.linalg.norm(side, axis=1, keepdims=True), 1e-6)
    sheet = line[:, None] + side[:, None] * half[:, None, None] * across[None, :, None]
    fold = rng.uniform(0.1, 0.5)
    sheet[..., 2] += half[:, None] * (fold * np.abs(across) ** 1.3 + 0.12 * across**2)[None]
    ripple = 0.2 * cloud(rng, (rows, columns), (9, 3)) * across[None] ** 2
    sheet[..., 2] += half[:, None] * ripple
    sheet[..., 2] += rng.normal(0, 0.02, columns)[None]
    veins = (
        1
        + 0.06 * wave(rng, columns, columns // 2)[None]
        + 0.08 * mottled(rng, (rows, columns), (8, 4))
    )
    tone = jittered(rng, (92, 128, 58), 10) * veins[..., None]
    tone = mixed(tone, look.pale, 0.6 * np.exp(-((across / 0.05) ** 2))[None] * np.ones((rows, 1)))
    dry = np.clip((share - rng.uniform(0.8, 1.3)) / 0.1, 0, 1)[:, None] * np.ones((1, columns))
    tone = mixed(mixed(tone, look.straw, dry), look.bloom, 0.4 * look.wax)
    return Mesh(
        sheet.reshape(-1, 3).astype(np.float32),
        grid_faces(rows, columns),
        np.array(tone.reshape(-1, 3), np.float32),
    )


def _flattened(mesh: Mesh, path: Floats, share: float) -> Mesh:
    """Return a tube made broad from front to back."""
    middle = float(path[:, 1].mean())
    vertices = mesh.vertices.copy()
    vertices[:, 1] = middle + (vertices[:, 1] - middle) * share
    return Mesh(vertices, mesh.faces, mesh.colours)
