"""Things that look like anthers or lie in the way: dust, drops, aphids, papery bits, threads."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.mesh import (
    Mesh,
    bezier,
    frame,
    grid_faces,
    hairs,
    joined,
    painted,
    tube,
    unit,
)
from spikecheck.synthetic.solid.waves import cloud

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Codes, Floats
    from spikecheck.synthetic.solid.look import PlantLook

_DOWN = np.array([0, 0, -1.0])


def grains(rng: np.random.Generator, places: Floats, colour: Floats) -> Mesh:
    """Return dust or pollen: a grain of about 0.05 mm (common practice) at each place."""
    tips = places + rng.normal(0, 0.05, places.shape)
    return hairs(places, tips, 0.03, colour * rng.uniform(0.7, 1.15, (len(places), 1)))


def drop(rng: np.random.Generator, point: Floats, normal: Floats) -> Mesh:
    """Return a dew drop on a surface, 0.2-1.6 mm across."""
    size = rng.uniform(0.1, 0.4) * (2 if chance(rng, 0.15) else 1)
    ball = _ball(10, 14)
    flat = frame(point + normal * size * 0.45, np.cross(normal, rng.normal(0, 1, 3)), normal)
    shape = ball * np.array([size, size * rng.uniform(0.6, 0.9), size * rng.uniform(0.9, 1.2)])
    return painted(flat.place(shape), _ball_faces(10, 14), np.ones(3))


def aphid(rng: np.random.Generator, point: Floats, normal: Floats) -> Mesh:
    """Return an aphid of 1.2-2.4 mm: pear-shaped body, legs, feelers, two tubes at the back."""
    size = rng.uniform(1.2, 2.4)
    colours = ((128, 156, 72), (70, 84, 48), (52, 46, 44), (166, 108, 92), (150, 168, 96))
    tone = jittered(rng, colours[int(rng.integers(len(colours)))], 10)
    body = _ball(14, 16)
    pear = 0.6 + 0.4 * np.clip((0.6 - body[:, 2]) / 1.6, 0, 1)
    body = body * np.stack([0.28 * pear, 0.24 * pear, np.full(len(pear), 0.5)], axis=1) * size
    own = frame(point + normal * 0.22 * size, np.cross(normal, rng.normal(0, 1, 3)), normal)
    ends, roots = [], []
    for side in (-1, 1):
        for place in (0.25, 0.05, -0.12):
            roots.append([0.12 * side, -0.1, place])
            ends.append([0.62 * side, -0.24, place + rng.normal(0.1, 0.2)])
        roots.extend([[0.06 * side, 0.05, 0.45], [0.14 * side, 0.1, -0.32]])
        ends.extend([[0.3 * side, 0.1, 0.95], [0.24 * side, 0.2, -0.62]])
    limbs = hairs(np.array(roots) * size, np.array(ends) * size, 0.035 * size, tone * 0.6)
    both = joined([painted(body, _ball_faces(14, 16), tone), limbs])
    return Mesh(own.place(both.vertices), both.faces, both.colours)


def papery_bit(rng: np.random.Generator, root: Floats, way: Floats, look: PlantLook) -> Mesh:
    """Return a dried strip of margin, rolled like a spent anther but thin and without lobes.

    Parameters
    ----------
    rng
        Random stream.
    root
        Where it hangs on, shape (3,), mm.
    way
        Where it points, shape (3,).
    look
        Colours of the plant.
    """
    rows, columns = 16, 9
    length, width = rng.uniform(0.8, 3.4), rng.uniform(0.35, 1.1)
    share, across = np.linspace(0, 1, rows)[:, None], np.linspace(-1, 1, columns)[None]
    roll = rng.uniform(0.2, 3.0) * share**0.5
    taper = (1 - rng.uniform(0.2, 1.0) * share) * width / 2
    x = taper * np.sin(across * roll) / np.maximum(roll, 0.3)
    y = taper * (1 - np.cos(across * roll)) / np.maximum(roll, 0.3)
    y = y + rng.normal(0, 0.25) * length * share**2 + 0.06 * cloud(rng, (rows, columns), (4, 4))
    x = x + rng.normal(0, 0.2) * length * share**2
    local = np.stack([x, y, np.broadcast_to(length * share, x.shape)], axis=-1).reshape(-1, 3)
    tones = (
        look.papery,
        look.straw,
        linear((232, 224, 178)),
        mixed(look.green, look.straw, 0.6),
        look.pale,
    )
    tone = tones[int(rng.integers(len(tones)))] * rng.uniform(0.8, 1.1)
    shade = 1 + 0.15 * cloud(rng, (rows, columns), (5, 4)).reshape(-1, 1)
    own = frame(root, way, rng.normal(0, 1, 3))
    return painted(own.place(local), grid_faces(rows, columns), np.clip(tone * shade, 0.01, 0.95))


def loose_scrap(rng: np.random.Generator, point: Floats, normal: Floats, look: PlantLook) -> Mesh:
    """Return a cut-off scrap of hull or yellow leaf that stuck to the surface."""
    rows, columns = 9, 7
    length, width = rng.uniform(0.6, 5.0), rng.uniform(0.3, 1.6)
    share, across = np.linspace(0, 1, rows)[:, None], np.linspace(-1, 1, columns)[None]
    taper = 1 - rng.uniform(0, 1) * np.abs(share - rng.uniform(0, 1)) ** 1.5
    half = width / 2 * taper * (1 + 0.4 * cloud(rng, (rows, columns), (4, 2)))
    bulge = rng.normal(0, 0.3) * across**2 + rng.normal(0, 0.4) * share**2
    x, z = (
        half * across,
        length * (share - 0.5) + 0.25 * width * cloud(rng, (rows, columns), (3, 5)),
    )
    local = np.stack([x, np.broadcast_to(0.2 + bulge, x.shape), z], axis=-1).reshape(-1, 3)
    tones = (look.green, look.pale, mixed(look.green, look.straw, 0.5), linear((150, 120, 60)))
    tone = tones[int(rng.integers(len(tones)))] * rng.uniform(0.8, 1.15)
    own = frame(point, np.cross(normal, rng.normal(0, 1, 3)), normal)
    return painted(own.place(local), grid_faces(rows, columns), np.clip(tone, 0.01, 0.95))


def bare_thread(rng: np.random.Generator, start: Floats, edge: Floats, outward: Floats) -> Mesh:
    """Return a filament without its anther that hangs over the rim."""
    end = edge + outward * rng.uniform(0.2, 1.2) + _DOWN * rng.uniform(-0.5, 3.5)
    path = bezier([start, edge + 0.6 * unit(edge - start), edge + outward * 0.8, end], 14)
    return tube(path, rng.uniform(0.035, 0.07), jittered(rng, (226, 230, 206), 10), sides=5)


def fibre(rng: np.random.Generator, point: Floats, normal: Floats) -> Mesh:
    """Return a thread of lint, or a piece of cut awn, lying on the spike."""
    away = unit(np.cross(normal, rng.normal(0, 1, 3)))
    # Short and bent towards the surface: a long straight one would bridge the air beside it.
    size = rng.uniform(1.2, 4.5)
    bend = rng.normal(0, 0.2, 3) * size
    bend = bend - (bend @ normal + 0.12 * size) * normal
    start = point + 0.12 * normal
    path = bezier([start - away * size / 2, start + bend, start + away * size / 2], 12)
    if chance(rng, 0.5):
        return tube(path, 0.02, jittered(rng, (220, 220, 224), 20), sides=4)
    return tube(path, rng.uniform(0.08, 0.2), jittered(rng, (172, 168, 96), 18), sides=5)


def _ball(rows: int, columns: int) -> Floats:
    """Return the points of a ball of radius 1, poles along the third axis."""
    polar = np.linspace(0.02, np.pi - 0.02, rows)[:, None]
    turn = np.linspace(0, 2 * np.pi, columns, endpoint=False)[None]
    height = np.broadcast_to(-np.cos(polar), (rows, columns))
    points = [np.sin(polar) * np.cos(turn), np.sin(polar) * np.sin(turn), height]
    return np.stack(points, axis=-1).reshape(-1, 3)


def _ball_faces(rows: int, columns: int) -> Codes:
    return grid_faces(rows, columns, closed=True)
