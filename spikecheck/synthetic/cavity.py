"""The inside of a clipped floret, and its cut edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.brush import Brush
    from spikecheck.synthetic.frame import Patch
    from spikecheck.synthetic.opening import Opening

_CUTS = ((200, 208, 152), (218, 218, 184), (186, 178, 118), (228, 226, 204))


def draw_cavity(brush: Brush, patch: Patch, opening: Opening, window: Floats, code: int) -> None:
    """Draw the far wall, from its lit upper edge down into the shadow.

    Parameters
    ----------
    brush, patch, opening
        Where and what.
    window
        float32 array of shape (H, W): cover of the opening, 0..1.
    code
        Owner code of the opening.
    """
    rng, genotype = brush.rng, brush.genotype
    radius, p, q = opening.polar(patch)
    soft = layered(rng, p.shape, 0.6 * patch.px_per_mm)
    side = rng.uniform(-0.25, 0.25)
    depth = np.clip(0.42 - 0.55 * q + 0.1 * soft + side * p, 0, 1)
    wall = mixed(genotype.base, linear((206, 214, 160)), float(rng.uniform(0.15, 0.6)))
    nerve = np.cos(p * np.pi * rng.uniform(1.5, 3.5) + rng.uniform(-1, 1)) ** 4
    colour = mixed(wall, genotype.green, np.clip(nerve * 0.5 + 0.1 * soft, 0, 1))
    dark = linear((66, 88, 30)) * np.float32(rng.uniform(0.5, 1.5))
    colour = mixed(colour, dark, np.clip(depth * 1.1, 0, 1) ** 1.4)
    middle = np.clip(1 - 2 * radius, 0, 1)
    sink = 1.05 - rng.uniform(0.7, 0.95) * np.clip(depth + 0.2 * middle, 0, 1)
    # The palea: a paler fold inside the far side, with two keels.
    fold = np.clip((0.9 - radius) * 6, 0, 1) * np.clip((q - rng.uniform(-0.3, 0.2)) * 3, 0, 1)
    keels = np.exp(-(((np.abs(p) - 0.45) / 0.07) ** 2))
    colour = mixed(colour, linear((196, 206, 150)), fold * rng.uniform(0.1, 0.5))
    colour = mixed(colour, genotype.vein, fold * keels * 0.4)
    surface = Surface(
        albedo=colour * np.clip(sink, 0.06, 1.1)[..., None],
        across=-0.9 * p, along=np.full_like(p, -0.25), thin=0.7, gloss=0.05,
    )  # fmt: skip
    rgb = lit(surface, patch, brush.canvas.light)
    brush.canvas.stamp(patch, window, rgb, owner=code, shadow=0.3)


def draw_rim(brush: Brush, patch: Patch, opening: Opening) -> None:
    """Draw the cut edge of the lemma, and of the palea inside the far side."""
    rng = brush.rng
    radius, p, q = opening.polar(patch)
    ragged = layered(rng, p.shape, 0.7 * patch.px_per_mm)
    turn = np.arctan2(q, p) + rng.uniform(0, 6)
    # The cut is seen flat on the far side and edge on in front, and thins out where it was torn.
    width = rng.uniform(0.09, 0.19) * (1 + 0.4 * np.sin(turn) + 0.3 * np.sin(2.3 * turn))
    half = np.clip(width * (1 + 0.4 * ragged), 0.03, 0.32) / 2
    cut = jittered(rng, _CUTS[int(rng.integers(len(_CUTS)))], 8)
    colour = mixed(cut, brush.genotype.green, np.clip(0.3 + 0.35 * ragged, 0, 0.85))
    if chance(rng, 0.35):
        colour = mixed(colour, linear((140, 108, 66)), np.clip(0.7 * ragged - 0.1, 0, 0.8))
    rgb = lit(Surface(colour, 0.6 * p, 0.4 * q, thin=0.6, gloss=0.08), patch, brush.canvas.light)
    ring = patch.cover(half - np.abs(opening.inside(patch))) * np.clip(0.9 + 0.3 * ragged, 0.3, 1)
    brush.canvas.stamp(patch, ring * np.float32(rng.uniform(0.7, 1.0)), rgb,
                       shadow=0.2, reach_mm=0.1, decoration=True)  # fmt: skip
    if chance(rng, 0.75):
        r0 = rng.uniform(0.62, 0.85) + 0.05 * ragged
        arc = patch.cover(0.05 - np.abs(radius - r0) * opening.half_across_mm)
        arc *= np.clip((q - rng.uniform(-0.2, 0.3)) * 4, 0, 1)
        brush.canvas.stamp(patch, arc * np.float32(rng.uniform(0.3, 0.8)), rgb * np.float32(0.85),
                           shadow=0.4, reach_mm=0.1, decoration=True)  # fmt: skip
