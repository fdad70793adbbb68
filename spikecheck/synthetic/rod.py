"""A round, slightly tapering rod: stem, rachis, awn, filament."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.frame import Pose, patch_of
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.texture import layered, streaks

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.brush import Brush

_SHORTEST_MM = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Rod:
    """A rod to draw.

    Parameters
    ----------
    start, end
        (row, column), px.
    half_mm
        Half width at start and end, mm.
    colour
        Linear RGB.
    owner
        Owner code.
    bend_per_mm
        Sideways bend.
    shadow
        How much it darkens what lies behind it, 0..1.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    half_mm: tuple[float, float]
    colour: Floats
    owner: int
    bend_per_mm: float = 0.0
    shadow: float = 0.3


def draw_rod(brush: Brush, rod: Rod) -> None:
    """Draw a rod."""
    rng, ppm = brush.rng, brush.px_per_mm
    dr, dc = rod.end[0] - rod.start[0], rod.end[1] - rod.start[1]
    length = float(np.hypot(dr, dc)) / ppm
    if length < _SHORTEST_MM:
        return
    # A bent rod still ends where it should: it sets out aslant.
    slant = float(np.arctan(rod.bend_per_mm * length))
    pose = Pose(rod.start[0], rod.start[1], float(np.arctan2(dc, -dr)) - slant)
    patch = patch_of(pose, t_mm=(-0.3, length + 0.3), half_mm=max(rod.half_mm) + 0.2,
                     px_per_mm=ppm, bend_per_mm=rod.bend_per_mm)  # fmt: skip
    u = np.clip(patch.t / length, 0, 1)
    half = rod.half_mm[0] + (rod.half_mm[1] - rod.half_mm[0]) * u
    v = np.clip(patch.s / half, -1.1, 1.1)
    ends = np.minimum(patch.t + 0.1, length + 0.1 - patch.t)
    cover = patch.cover(np.minimum(half - np.abs(patch.s), ends))
    soft = layered(rng, v.shape, 1.2 * ppm)
    fibre = streaks(rng, v, 24)
    albedo = rod.colour * (1 + 0.06 * soft + 0.08 * fibre)[..., None]
    surface = Surface(albedo, v * 1.1 + 0.06 * fibre, np.zeros_like(v), thin=0.1, gloss=0.1,
                      shine=14.0)  # fmt: skip
    rgb = lit(surface, patch, brush.canvas.light)
    brush.canvas.stamp(patch, cover, rgb, owner=rod.owner, shadow=rod.shadow)
