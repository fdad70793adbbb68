"""Smooth random variation along a line and over a surface."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats


def wave(rng: np.random.Generator, count: int, knots: int) -> Floats:
    """Return a smooth random line of about -1..1, shape (count,).

    Parameters
    ----------
    rng
        Random stream.
    count
        Points.
    knots
        Random values it runs through: more is finer.
    """
    return (_weights(count, knots) @ rng.uniform(-1, 1, knots)).astype(np.float32)


def cloud(rng: np.random.Generator, shape: tuple[int, int], knots: tuple[int, int]) -> Floats:
    """Return a smooth random surface of about -1..1 of the given shape."""
    values = rng.uniform(-1, 1, knots)
    return (_weights(shape[0], knots[0]) @ values @ _weights(shape[1], knots[1]).T).astype(
        np.float32
    )


def mottled(rng: np.random.Generator, shape: tuple[int, int], coarse: tuple[int, int]) -> Floats:
    """Return a random surface of about -1..1 with coarse and fine detail."""
    fine = (min(coarse[0] * 4, shape[0]), min(coarse[1] * 4, shape[1]))
    return 0.65 * cloud(rng, shape, coarse) + 0.35 * cloud(rng, shape, fine)


@lru_cache(maxsize=256)
def _weights(count: int, knots: int) -> Floats:
    """Return the share of each knot in each point: smoothstep between neighbours."""
    place = np.linspace(0, knots - 1, count)
    gap = np.clip(1 - np.abs(place[:, None] - np.arange(knots)), 0, 1)
    smooth = gap * gap * (3 - 2 * gap)
    result: Floats = (smooth / smooth.sum(axis=1, keepdims=True)).astype(np.float32)
    return result
