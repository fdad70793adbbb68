"""Smooth random values at points in space, for bumps and blotches on meshes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats

_CELLS = 24


class LatticeNoise:
    """Random values on repeating lattices, blended between their points.

    Two lattices, turned against each other, so that none of them shows.

    Parameters
    ----------
    rng
        Where the values come from.
    """

    def __init__(self, rng: np.random.Generator) -> None:
        self._values = rng.normal(size=(_CELLS, _CELLS, _CELLS)).astype(np.float32)
        self._turns = [
            np.linalg.qr(rng.normal(size=(3, 3)) * 0.35 + np.eye(3))[0].astype(np.float32)
            for _ in range(2)
        ]

    def at(self, points: Floats, size: float | tuple[float, float, float]) -> Floats:
        """Return values of mean 0 and deviation about 0.5.

        Parameters
        ----------
        points
            Shape (N, 3).
        size
            Length over which values change, in the unit of the points; one for all axes or one
            for each.
        """
        from scipy.ndimage import map_coordinates

        places = np.asarray(points, np.float32) / np.asarray(size, np.float32)
        total = np.zeros(len(places), np.float32)
        for shift, turn in enumerate(self._turns):
            turned = (places @ turn + np.float32(7.3 * shift)).T
            whole = np.floor(turned)
            part = turned - whole
            eased = whole + part * part * (3 - 2 * part)
            total += map_coordinates(
                self._values, eased, order=1, mode="grid-wrap", prefilter=False
            )
        return total * np.float32(np.sqrt(0.5))
