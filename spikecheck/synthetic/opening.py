"""The cut opening of a clipped floret: where it is and how one looks into it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.frame import Patch, Pose


@dataclass(frozen=True, slots=True, eq=False)
class Opening:
    """An ellipse in the floret's frame, with a ragged edge.

    Parameters
    ----------
    pose
        The floret's pose.
    centre_mm
        Where it lies along the floret, mm.
    half_across_mm, half_along_mm
        Half axes as they look in the picture, mm; the second is negative when the opening is
        turned away.
    slope
        Rise of the cut across the floret (scissors held aslant).
    bend_per_mm
        Sideways bend of the floret.
    roundness
        Exponent of the outline: 2 is an ellipse, smaller is a lens with pointed corners.
    wobble
        Amplitudes of the edge's waves, shape (4, 2): cosine and sine of 2, 3, 5 and 9 per turn.
    """

    pose: Pose
    centre_mm: float
    half_across_mm: float
    half_along_mm: float
    slope: float
    bend_per_mm: float
    roundness: float
    wobble: NDArray[np.float64]

    @property
    def faces_camera(self) -> bool:
        """Whether one can look into it at all."""
        return self.half_along_mm > 0

    def polar(self, patch: Patch) -> tuple[Floats, Floats, Floats]:
        """Return radius (1 on the rim), and the place across and along, each of shape (H, W)."""
        p = patch.s / self.half_across_mm
        q = (patch.t - self.centre_mm - self.slope * patch.s) / abs(self.half_along_mm)
        angle = np.arctan2(q, p)
        ragged = np.ones_like(p)
        for (cosine, sine), turns in zip(self.wobble, (2, 3, 5, 9), strict=True):
            ragged += (cosine * np.cos(turns * angle) + sine * np.sin(turns * angle)).astype(
                np.float32
            )
        n = np.float32(self.roundness)
        # The palea's side is flatter than the lemma's.
        deep = np.where(q > 0, q * np.float32(1.15), q)
        radius = (np.abs(p) ** n + np.abs(deep) ** n) ** (1 / n) / ragged
        return radius.astype(np.float32), p.astype(np.float32), q.astype(np.float32)

    def inside(self, patch: Patch) -> Floats:
        """Return the distance inside the rim, mm, near the edge."""
        radius, p, q = self.polar(patch)
        # First-order distance of an ellipse: (1 - r) over the length of r's gradient.
        slope = np.sqrt((p / self.half_across_mm) ** 2 + (q / abs(self.half_along_mm)) ** 2)
        return ((1 - radius) * np.maximum(radius, 1e-3) / np.maximum(slope, 1e-3)).astype(
            np.float32
        )

    def below_cut(self, patch: Patch) -> Floats:
        """Return the distance below the line of the cut, mm."""
        return (self.centre_mm + self.slope * patch.s - patch.t).astype(np.float32)


def draw_wobble(rng: np.random.Generator) -> NDArray[np.float64]:
    """Return the waves of a cut edge at random, shape (4, 2)."""
    waves: NDArray[np.float64] = rng.normal(0, 1, (4, 2)) * np.array(
        [[0.035], [0.03], [0.018], [0.012]]
    )
    return waves
