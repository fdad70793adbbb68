"""What stays in an emptied floret: ovary, feathery stigmas, stubs of filaments."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.solid.mesh import Mesh, bezier, hairs, joined, tube, unit
from spikecheck.synthetic.solid.waves import wave

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats


def ovary(rng: np.random.Generator, size_mm: float) -> Mesh:
    """Return an ovary in its floret's frame: a whitish knob about 1.5 mm high with a hairy top."""
    rows = 12
    height = np.linspace(0, 1, rows, dtype=np.float32)
    bulge = 0.36 * size_mm * np.sqrt(np.clip(1 - (2 * height**0.8 - 1) ** 2, 0.02, 1))
    path = np.stack([np.zeros(rows), np.full(rows, 0.1), 0.7 + size_mm * height], axis=1)
    foot, top = jittered(rng, (176, 196, 120), 8), jittered(rng, (226, 228, 206), 6)
    body = tube(path, bulge, mixed(foot, top, height**0.7), sides=14)
    count = 70
    turn, up = rng.uniform(0, 2 * np.pi, count), rng.uniform(0.5, 1, count)
    ring = 0.33 * size_mm * np.sqrt(np.clip(1 - (2 * up - 1) ** 2, 0.05, 1))
    roots = np.stack([ring * np.cos(turn), 0.1 + ring * np.sin(turn), 0.7 + size_mm * up], axis=1)
    away = roots - np.array([0, 0.1, 0.7 + 0.4 * size_mm])
    tips = roots + unit(away + rng.normal(0, 0.2, away.shape)) * rng.uniform(0.15, 0.4, (count, 1))
    return joined([body, hairs(roots, tips, 0.022, linear((236, 236, 224)))])


def stigma(
    rng: np.random.Generator, root: Floats, length_mm: float, side: float, dried: float
) -> Mesh:
    """Return one feathery branch, 1.5-3 mm (common practice), white and see-through when fresh.

    Parameters
    ----------
    rng
        Random stream.
    root
        Its foot on the ovary, shape (3,), floret's frame.
    length_mm
        Length.
    side
        -1 or 1: to which side it leans.
    dried
        How shrunken and brown it is, 0..1.
    """
    lean = side * rng.uniform(0.15, 0.9) * length_mm * 0.6
    end = root + np.array([lean, rng.normal(0.05, 0.35), length_mm * rng.uniform(0.6, 1.0)])
    middle = root + np.array([lean * 0.2, rng.normal(0, 0.2), length_mm * 0.55])
    path = bezier([root, middle, end], 10)
    fresh = jittered(rng, (236, 236, 226), 6)
    colour = mixed(fresh, linear((158, 128, 82)), dried)
    stem = tube(path, np.linspace(0.06, 0.03, 10), colour, sides=5)
    count = int(150 * (1 - 0.6 * dried))
    place = rng.uniform(0.15, 1, count) * 9
    low = np.minimum(place.astype(int), 8)
    roots = path[low] + (path[low + 1] - path[low]) * (place - low)[:, None]
    along = unit(path[low + 1] - path[low])
    spread = unit(along * 0.6 + rng.normal(0, 0.7, (count, 3)))
    size = rng.uniform(0.2, 0.55, (count, 1)) * (1 - 0.55 * dried) * min(length_mm / 2.2, 1)
    return joined([stem, hairs(roots, roots + spread * size, 0.016, colour)])


def filament_stub(rng: np.random.Generator) -> Mesh:
    """Return what is left of a filament after its anther was pulled off."""
    turn = rng.uniform(0, 2 * np.pi)
    root = np.array([0.5 * np.cos(turn), 0.1 + 0.4 * np.sin(turn), 0.6])
    size = rng.uniform(0.5, 2.2)
    end = root + np.array([rng.normal(0, 0.4), rng.normal(0, 0.3), size])
    path = bezier([root, root + np.array([0, 0, size * 0.6]), end], 7)
    path[1:] += 0.04 * np.stack([wave(rng, 6, 4) for _ in range(3)], axis=1)
    return tube(path, 0.05, jittered(rng, (226, 230, 206), 8), sides=5)
