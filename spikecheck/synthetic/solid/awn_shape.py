"""Awns, whole or cut to stubs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, mixed
from spikecheck.synthetic.solid.mesh import Mesh, bezier, hairs, joined, tube, unit

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.look import PlantLook

_FULL_MM = 40.0  # longer ones taper to a point; shorter ones are stubs or awnlets


def awn(
    rng: np.random.Generator, root: Floats, direction: Floats, length_mm: float, look: PlantLook
) -> Mesh:
    """Return an awn with fine barbs.

    Parameters
    ----------
    rng
        Random stream.
    root
        Where it leaves the lemma, shape (3,), mm.
    direction
        Where it points there, shape (3,).
    length_mm
        Length; a stub keeps its thickness up to its blunt end.
    look
        Colours of the plant.
    """
    bend = rng.normal(0, 0.12, 3) * length_mm
    upward = unit(0.65 * direction + np.array([0, 0, 0.35]) + rng.normal(0, 0.05, 3))
    middle = root + direction * length_mm * 0.4
    end = root + upward * length_mm + bend * min(length_mm / _FULL_MM, 1)
    count = 18 if length_mm > 12 else 6  # noqa: PLR2004
    path = bezier([root - 0.4 * direction, middle, end], count)
    share = np.linspace(0, 1, count) * min(length_mm / look.awn_mm, 1)
    radius = rng.uniform(0.16, 0.26) * (1 - 0.88 * share)
    top = mixed(jittered(rng, (196, 178, 102), 10), look.purple, look.anthocyanin)
    colour = mixed(look.green, top, np.clip(share * rng.uniform(0.5, 1.3), 0, 1))
    body = tube(path, radius, colour, sides=6)
    barbs = int(length_mm * 1.6)
    place = rng.uniform(0, count - 1.001, barbs)
    low = place.astype(int)
    along = unit(path[low + 1] - path[low])
    roots = path[low] + (path[low + 1] - path[low]) * (place - low)[:, None]
    out = unit(np.cross(along, rng.normal(0, 1, (barbs, 3))))
    roots = roots + out * radius[low][:, None] * 0.8
    return joined([body, hairs(roots, roots + 0.2 * along + 0.09 * out, 0.025, top)])
