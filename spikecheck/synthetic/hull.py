"""The green bracts (lemma, palea, glume): outline and tissue."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear, mixed
from spikecheck.synthetic.light import Surface
from spikecheck.synthetic.texture import layered, streaks

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.frame import Patch
    from spikecheck.synthetic.genotype import Genotype


@dataclass(frozen=True, slots=True)
class HullShape:
    """Outline of a bract before it is cut.

    Parameters
    ----------
    length_mm, half_width_mm
        Length and greatest half width, mm.
    widest
        Where it is widest, 0 at the foot and 1 at the tip.
    foot
        Half width at the foot as a share of the greatest.
    taper
        Exponent of the narrowing to the tip: small is slender, large is blunt.
    """

    length_mm: float
    half_width_mm: float
    widest: float = 0.42
    foot: float = 0.5
    taper: float = 1.8

    def half_width_at(self, t_mm: NDArray[np.float32] | float) -> NDArray[np.float32]:
        """Return the half width, mm, at ``t_mm`` from the foot; 0 beyond the tip."""
        u = np.clip(np.asarray(t_mm, np.float32) / np.float32(self.length_mm), 0.0, 1.0)
        low = np.clip((self.widest - u) / self.widest, 0, 1)
        high = np.clip((u - self.widest) / (1 - self.widest), 0, 1)
        share = (1 - (1 - self.foot) * low**2) * (1 - high**self.taper)
        return (self.half_width_mm * share).astype(np.float32)

    def inside(self, patch: Patch) -> NDArray[np.float32]:
        """Return the distance inside the outline, mm, of each pixel (near the edge)."""
        side = self.half_width_at(patch.t) - np.abs(patch.s)
        foot = patch.t + 0.35 * self.half_width_mm * (
            1 - (patch.s / max(self.foot * self.half_width_mm, 1e-3)) ** 2
        )
        return np.minimum(side, np.minimum(foot, self.length_mm - patch.t))


def tissue(
    rng: np.random.Generator,
    patch: Patch,
    shape: HullShape,
    genotype: Genotype,
    *,
    keel: float = 0.0,
    shade: float = 1.0,
) -> Surface:
    """Return the surface of a bract: nerves, wax, dry margins, blemishes, roundness.

    Parameters
    ----------
    rng
        Random stream.
    patch
        Where.
    shape
        Its outline.
    genotype
        Its line.
    keel
        Strength of a keel along the middle (glumes), 0..1.
    shade
        Brightness of the tissue; 1 as the line's colour says.
    """
    u = np.clip(patch.t / shape.length_mm, -0.1, 1.1)
    v = np.clip(patch.s / np.maximum(shape.half_width_at(patch.t), 0.12), -1.15, 1.15)
    soft = layered(rng, u.shape, 0.9 * patch.px_per_mm)
    fine = layered(rng, u.shape, max(1.2, 0.12 * patch.px_per_mm), 2)
    fibre = streaks(rng, v + 0.03 * soft, 60)

    nerves = int(rng.integers(5, 10))
    phase = rng.uniform(-0.3, 0.3)
    wave = 0.5 + 0.5 * np.cos((v + 0.04 * soft) * np.pi * nerves / 2 + phase)
    strength = np.clip(0.16 + 0.95 * (u - 0.32), 0.12, 0.75) * rng.uniform(0.7, 1.15)
    nerve = wave**2 * strength

    colour = mixed(genotype.green, genotype.base, np.clip(0.62 - 1.15 * u, 0, 0.75))
    pale = np.clip((u - 0.45) * 1.3, 0, 0.55) * genotype.papery_share * (1 - wave)
    colour = mixed(colour, genotype.papery, pale * 0.75)
    colour = mixed(colour, genotype.vein, nerve)
    wax = np.clip(genotype.bloom_share * (0.55 + 0.4 * soft) * (1 - 0.5 * v * v), 0, 0.8)
    colour = mixed(colour, genotype.bloom, wax * 0.75)
    edge = np.clip((np.abs(v) - 0.8) / 0.2, 0, 1) * np.clip(u * 1.6, 0, 1)
    colour = mixed(colour, genotype.papery, edge**1.5 * (0.25 + 0.5 * genotype.papery_share))
    if genotype.purple_share:
        blush = np.clip(genotype.purple_share * (0.3 + 0.5 * soft + 0.6 * (u - 0.3)), 0, 0.7)
        colour = mixed(colour, linear((112, 62, 74)), blush * wave)
    colour = colour * (1 + 0.045 * fine + 0.05 * fibre + 0.07 * soft)[..., None] * shade
    if rng.random() < 0.3:
        colour = _blemished(rng, colour, u, v)

    round_across = (v * rng.uniform(0.85, 1.15)).astype(np.float32)
    if keel:
        round_across += np.float32(keel) * np.tanh(v * 9) * np.exp(-np.abs(v) * 2.5)
    ridge = -0.16 * np.sin((v + 0.04 * soft) * np.pi * nerves / 2 + phase) * np.clip(u, 0.2, 1)
    across = round_across + ridge + 0.05 * fine + 0.05 * fibre
    along = 0.75 * (u - 0.5) - 0.75 * patch.pose.toward + 0.06 * fine + 0.05 * soft
    return Surface(
        albedo=np.clip(colour, 0.004, 0.95).astype(np.float32),
        across=across.astype(np.float32),
        along=along.astype(np.float32),
        thin=np.clip(0.2 + 0.75 * edge + 0.5 * pale, 0, 1),
        gloss=np.clip(0.06 + 0.03 * fine + 0.05 * wax, 0, 1),
        shine=float(rng.uniform(8, 26)),
    )


def _blemished(
    rng: np.random.Generator,
    colour: NDArray[np.float32],
    u: NDArray[np.float32],
    v: NDArray[np.float32],
) -> NDArray[np.float32]:
    """Return the colour with a few brown or bleached specks."""
    tint = linear((138, 104, 58)) if rng.random() < 0.6 else linear((214, 208, 160))
    for _ in range(int(rng.integers(1, 4))):
        du, dv = u - rng.uniform(0.2, 0.9), v - rng.uniform(-0.8, 0.8)
        size = rng.uniform(0.01, 0.035)
        speck = np.exp(-((du / (size * 1.8)) ** 2 + (dv / (size * 4)) ** 2))
        colour = mixed(colour, tint, speck * rng.uniform(0.3, 0.8))
    return colour
