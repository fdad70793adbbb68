"""The green bracts (lemma, palea, glume): outline and tissue."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear, mixed
from spikecheck.synthetic.light import Surface
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import along_fibres, layered, streaks

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
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

    def half_width_at(self, t_mm: Floats | float) -> Floats:
        """Return the half width, mm, at ``t_mm`` from the foot; 0 beyond the tip."""
        u = np.clip(np.asarray(t_mm, np.float32) / np.float32(self.length_mm), 0.0, 1.0)
        low = np.clip((self.widest - u) / self.widest, 0, 1)
        high = np.clip((u - self.widest) / (1 - self.widest), 0, 1)
        share = (1 - (1 - self.foot) * low**2) * (1 - high**self.taper)
        return np.asarray(self.half_width_mm * share, np.float32)

    def inside(self, patch: Patch) -> Floats:
        """Return the distance inside the outline, mm, of each pixel (near the edge)."""
        side = self.half_width_at(patch.t) - np.abs(patch.s)
        foot = patch.t + 0.35 * self.half_width_mm * (
            1 - (patch.s / max(self.foot * self.half_width_mm, 1e-3)) ** 2
        )
        inside = np.minimum(side, np.minimum(foot, self.length_mm - patch.t))
        return np.asarray(inside, np.float32)


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
    u = np.clip(patch.t / shape.length_mm, -0.1, 1.1).astype(np.float32)
    v = np.clip(patch.s / np.maximum(shape.half_width_at(patch.t), 0.12), -1.15, 1.15)
    v = v.astype(np.float32)
    soft = along_fibres(rng, u, v, (4, 4))
    streak = along_fibres(rng, u, v, (5, 26))
    fine = layered(rng, u.shape, max(1.2, 0.12 * patch.px_per_mm), 2)
    fibre = streaks(rng, v + 0.02 * soft, 70)

    nerve = _nerves(rng, u, v + 0.03 * soft)
    colour = _coloured(rng, u, v, (soft, streak, nerve), genotype)
    sunk = 1 - 0.45 * np.clip((0.32 - u) / 0.32, 0, 1) ** 1.3
    grain = 1 + 0.04 * fine + 0.05 * fibre + 0.05 * streak
    colour = colour * (grain * sunk * shade)[..., None]
    if chance(rng, 0.3):
        colour = _blemished(rng, colour, u, v)

    edge = np.clip((np.abs(v) - 0.78) / 0.22, 0, 1) * np.clip(u * 1.6, 0, 1)
    across = v * rng.uniform(0.9, 1.25) - 0.1 * np.gradient(nerve, axis=1)
    if keel:
        across += np.float32(keel) * np.tanh((v - 0.25) * 9) * np.exp(-np.abs(v - 0.25) * 2.5)
    across += 0.05 * fine + 0.06 * fibre
    along = 0.9 * (u - 0.45) - 0.7 * patch.pose.toward + 0.05 * fine + 0.06 * soft
    return Surface(
        albedo=np.clip(colour, 0.004, 0.95).astype(np.float32),
        across=across.astype(np.float32),
        along=along.astype(np.float32),
        thin=np.clip(0.22 + 0.7 * edge + 0.35 * np.clip(u - 0.4, 0, 1), 0, 1),
        gloss=np.clip((0.1 + 0.05 * streak + 0.03 * fine) * (1 - 0.4 * nerve), 0, 1),
        shine=float(rng.uniform(9, 24)),
    )


def _nerves(rng: np.random.Generator, u: Floats, v: Floats) -> Floats:
    """Return the strength of the nerves, 0..1: faint at the foot, clear towards the tip."""
    count = int(rng.integers(5, 9))
    nerve = np.zeros_like(u)
    for place in np.linspace(-0.86, 0.86, count) + rng.normal(0, 0.03, count):
        width, depth = rng.uniform(0.035, 0.075), rng.uniform(0.4, 1.0)
        start = rng.uniform(0.1, 0.45)
        nerve += depth * np.exp(-(((v - place) / width) ** 2)) * np.clip((u - start) * 3, 0, 1)
    return np.clip(nerve, 0, 1) * np.float32(rng.uniform(0.35, 0.95))


def _coloured(
    rng: np.random.Generator,
    u: Floats,
    v: Floats,
    noise: tuple[Floats, Floats, Floats],
    genotype: Genotype,
) -> Floats:
    """Return the reflectance: green, yellower at foot and edges, pale and waxy above."""
    soft, streak, nerve = noise
    tint = (1 + rng.normal(0, 0.035, 3)).astype(np.float32)
    colour = mixed(genotype.green, genotype.base, np.clip(0.8 - 1.5 * u + 0.15 * soft, 0, 0.9))
    colour = colour * tint
    pale = np.clip((u - 0.42) * 1.7 + 0.12 * soft, 0, 0.8) * np.exp(-((v / 0.75) ** 2))
    colour = mixed(colour, genotype.papery, pale * rng.uniform(0.15, 0.75) * genotype.papery_share)
    wax = genotype.bloom_share * (0.55 + 0.18 * soft + 0.2 * streak) * (1 - 0.55 * v * v)
    colour = mixed(colour, genotype.bloom, np.clip(wax, 0, 0.8))
    colour = mixed(colour, genotype.vein, nerve * 0.75)
    edge = np.clip((np.abs(v) - 0.74) / 0.26, 0, 1) * np.clip(u * 1.8 - 0.1, 0, 1)
    colour = mixed(colour, genotype.papery, edge**1.5 * (0.3 + 0.5 * genotype.papery_share))
    if chance(rng, 0.12):
        yellowed = np.clip(0.4 * soft + 1.4 * (u - 0.45), 0, 0.7)
        colour = mixed(colour, linear((206, 192, 112)), yellowed)
    if genotype.purple_share:
        blush = genotype.purple_share * (0.2 + 0.3 * streak + 0.25 * soft + 0.5 * (u - 0.3))
        colour = mixed(colour, linear((116, 70, 84)), np.clip(blush, 0, 0.65))
    return colour


def _blemished(
    rng: np.random.Generator,
    colour: Floats,
    u: Floats,
    v: Floats,
) -> Floats:
    """Return the colour with a few brown or bleached specks."""
    tint = linear((138, 104, 58)) if chance(rng, 0.6) else linear((214, 208, 160))
    for _ in range(int(rng.integers(1, 4))):
        du, dv = u - rng.uniform(0.2, 0.9), v - rng.uniform(-0.8, 0.8)
        size = rng.uniform(0.01, 0.035)
        speck = np.exp(-((du / (size * 1.8)) ** 2 + (dv / (size * 4)) ** 2))
        colour = mixed(colour, tint, speck * rng.uniform(0.3, 0.8))
    return colour
