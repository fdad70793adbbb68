"""How a whole spike is bent, twisted and turned a little: applied to all points at the end."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.mesh import frame

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.mesh import Frame


@dataclass(frozen=True, slots=True)
class Bending:
    """A smooth change of shape that leaves sizes nearly as they are.

    Parameters
    ----------
    length_mm
        Length of the spike.
    sideways_mm, back_mm
        How far its tip is bent to the right and away from the camera.
    turn, twist
        Turn about the axis at the base, and more of it at the tip, radians.
    """

    length_mm: float
    sideways_mm: float
    back_mm: float
    turn: float
    twist: float

    def bend(self, points: Floats) -> Floats:
        """Return points, shape (N, 3), mm, on the bent spike."""
        share = np.clip(points[:, 2] / self.length_mm, -0.5, 1.4)
        angle = self.turn + self.twist * share
        c, s = np.cos(angle), np.sin(angle)
        x = c * points[:, 0] - s * points[:, 1] + self.sideways_mm * share**2
        y = s * points[:, 0] + c * points[:, 1] + self.back_mm * share**2
        return np.stack([x, y, points[:, 2]], axis=1).astype(np.float32)

    def bend_frame(self, place: Frame) -> Frame:
        """Return a frame as it stands on the bent spike."""
        step = 0.2
        ends = self.bend(np.concatenate([place.origin[None], place.origin + step * place.axes]))
        return frame(ends[0], ends[3] - ends[0], ends[2] - ends[0])


def draw_bending(rng: np.random.Generator, length_mm: float) -> Bending:
    """Return a gentle bend, own choice of sizes."""
    return Bending(
        length_mm=length_mm,
        sideways_mm=rng.normal(0, 0.035) * length_mm,
        back_mm=rng.normal(0, 0.03) * length_mm,
        turn=rng.normal(0, 0.14),
        twist=rng.normal(0, 0.16),
    )
