"""The surface of a bare or gloved hand: colours and fine relief."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear, mixed
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.lattice_noise import LatticeNoise

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.fingers import Finger, OnFinger

# sRGB from light to dark skin (own choice by eye, spread over the whole human range), and gloves
# as sold for laboratories: nitrile blue, violet-blue, black, white, green; latex.
_SKINS = (
    (242, 208, 188), (228, 180, 152), (206, 150, 118), (168, 116, 86), (122, 82, 62), (80, 54, 44),
)  # fmt: skip
_GLOVES = (
    (62, 92, 168), (96, 110, 190), (30, 31, 34), (232, 232, 228), (70, 140, 92), (222, 198, 160),
    (40, 130, 160), (190, 60, 80),
)  # fmt: skip
_RIDGE_MM = 0.46  # period of friction ridges, common practice 0.4-0.5 mm
_NAIL_MM = 11.0
_PI = float(np.pi)


@dataclass(frozen=True, slots=True, eq=False)
class Skin:
    """Relief and colour of a hand's vertices.

    Parameters
    ----------
    height_mm
        Outwards, (V,).
    colours
        Linear sRGB, (V, 3).
    """

    height_mm: Floats
    colours: Floats


def bare(
    points: Floats, where: OnFinger, fingers: Sequence[Finger], rng: np.random.Generator
) -> Skin:
    """Return the look of bare skin at points, (V, 3)."""
    noise = LatticeNoise(rng)
    tone = float(rng.uniform(0, len(_SKINS) - 1))
    low = int(min(tone, len(_SKINS) - 2))
    base = mixed(linear(_SKINS[low]), linear(_SKINS[low + 1]), tone - low)
    base = mixed(base, np.full(3, base.mean(), np.float32), float(rng.uniform(0, 0.35)))
    darkness = tone / (len(_SKINS) - 1)
    palm = np.clip((np.abs(where.around) - 1.5) / 0.9, 0, 1)
    blotch = noise.at(points, 5.0) + 0.5 * noise.at(points, 1.7)
    crease = _creases(points, where, fingers, noise, rng)
    colour = base * (1 + 0.07 * blotch + 0.03 * noise.at(points, 0.5))[:, None]
    pink = np.array([1.1, 0.85, 0.84]) * base + np.array([0.03, 0.01, 0.01])
    tip = np.clip(1 - (where.along + 4) / 16, 0, 1)
    redness = np.clip(0.4 * tip + 0.3 * crease + 0.2 * blotch, 0, 1) * rng.uniform(0.1, 0.6)
    colour = mixed(colour, pink, redness)
    pale = mixed(base, linear((232, 178, 152)), 0.25 + 0.5 * darkness)
    colour = mixed(colour, pale, palm * (0.25 + 0.5 * darkness))
    colour = mixed(colour, base * 0.62, np.clip(crease, 0, 1) * (0.25 + 0.3 * darkness))
    height = -0.22 * crease + 0.10 * blotch + 0.03 * noise.at(points, 0.9)
    height = height + 0.016 * noise.at(points, 0.33)
    height += palm * 0.012 * np.sin(2 * _PI * _ridge_phase(points, where, noise))
    for number, finger in enumerate(fingers):
        nail = _nail(where, number, finger, rng)
        plate = mixed(base, linear((236, 196, 184)), 0.55 - 0.2 * darkness)
        white = np.clip((-where.along - finger.radii[0] * 0.62) / 0.8, 0, 1) * rng.uniform(0, 0.8)
        plate = mixed(plate[None] * (1 + 0.04 * blotch)[:, None], linear((232, 226, 212)), white)
        rim = np.clip(4 * nail * (1 - nail), 0, 1)
        colour = mixed(mixed(colour, plate, nail), base * 0.55, rim * 0.35)
        height = height * (1 - nail) + 0.28 * nail - 0.12 * rim
    if chance(rng, 0.3):  # soil or plant sap of a day's work
        dirt = np.clip(noise.at(points, 2.3) - 0.35, 0, 1) * rng.uniform(0.2, 0.7)
        colour = mixed(colour, linear((96, 88, 50)), dirt)
    return Skin(height.astype(np.float32), np.clip(colour, 0.01, 0.95).astype(np.float32))


def gloved(
    points: Floats, where: OnFinger, fingers: Sequence[Finger], rng: np.random.Generator
) -> Skin:
    """Return the look of a thin glove at points, (V, 3)."""
    noise = LatticeNoise(rng)
    base = linear(_GLOVES[rng.integers(len(_GLOVES))]) * np.exp(rng.normal(0, 0.12, 3))
    # Folds run around the finger, more of them where it bends and at a loose tip.
    local = np.stack([where.along, 9 * np.sin(where.around), 9 * np.cos(where.around)], axis=1)
    local[:, 0] += 40 * where.finger
    fold = 1 - 2 * np.abs(noise.at(local, (2.4, 9, 9)) + 0.35 * noise.at(local, (1.1, 5, 5)))
    skew = 1 - 2 * np.abs(noise.at(points, (6.0, 3.0, 5.0)))
    bend = np.zeros(len(points), np.float32)
    for number, finger in enumerate(fingers):
        for place in _joint_places(finger):
            near = np.exp(-(((where.along - place) / 7) ** 2))
            bend = np.maximum(bend, np.where(where.finger == number, near, 0))
    loose = np.clip(0.25 + bend + np.clip(1 - (where.along + 4) / 9, 0, 1) * 0.6, 0, 1.3)
    depth = rng.uniform(0.12, 0.38)
    height = depth * loose * np.clip(fold, -0.6, 1) + 0.5 * depth * np.clip(skew, -0.4, 1)
    height = height + 0.02 * noise.at(points, 0.5)
    texture = np.sin(2 * _PI * where.along / 0.9) * np.sin(_PI * where.around * 9)
    height = height + rng.uniform(0, 0.02) * texture * (where.along < 18)  # noqa: PLR2004  (gripping tips)
    thin = np.clip(fold * 0.5 + 0.5, 0, 1)  # stretched film is paler
    colour = base * (0.9 + 0.16 * thin * loose + 0.03 * noise.at(points, 1.5))[:, None]
    dust = np.clip(noise.at(points, 1.2) - rng.uniform(0.5, 1.8), 0, 1) * rng.uniform(0, 0.5)
    colour = mixed(colour, linear((214, 208, 168)), dust)
    return Skin(height.astype(np.float32), np.clip(colour, 0.01, 0.92).astype(np.float32))


def _joint_places(finger: Finger) -> Floats:
    """Return how far from the tip the inner joints lie, mm."""
    lengths = np.linalg.norm(np.diff(finger.joints, axis=0), axis=1)
    return np.asarray(np.cumsum(lengths)[:-1])


def _creases(
    points: Floats,
    where: OnFinger,
    fingers: Sequence[Finger],
    noise: LatticeNoise,
    rng: np.random.Generator,
) -> Floats:
    """Return how deep the skin lies in creases at the joints, 0..1."""
    out = np.zeros(len(points), np.float32)
    wavy = where.along + 0.9 * noise.at(points, 3.5) + 0.25 * noise.at(points, 1.1)
    for number, finger in enumerate(fingers):
        here = where.finger == number
        for place in _joint_places(finger):
            for shift in rng.normal(0, 2.4, int(rng.integers(3, 7))):
                line = np.exp(-(((wavy - place - shift) / rng.uniform(0.18, 0.4)) ** 2))
                out = np.maximum(out, np.where(here, line * rng.uniform(0.4, 1), 0))
    fine = np.abs(noise.at(points, (1.3, 1.3, 0.7)))
    return np.asarray(np.maximum(out, 0.35 * np.exp(-((fine / 0.07) ** 2))))


def _ridge_phase(points: Floats, where: OnFinger, noise: LatticeNoise) -> Floats:
    """Return the phase of friction ridges: loops about the middle of the pad."""
    across = 8 * (np.abs(where.around) - _PI)
    loop = np.sqrt((where.along - 3) ** 2 + across**2)
    return np.asarray((loop + 1.1 * noise.at(points, 4.0)) / _RIDGE_MM)


def _nail(where: OnFinger, number: int, finger: Finger, rng: np.random.Generator) -> Floats:
    """Return how much of the surface is nail, 0..1."""
    half = rng.uniform(0.75, 0.95)
    length = rng.uniform(0.85, 1.1) * _NAIL_MM * finger.radii[0] / 8
    middle = length / 2 - finger.radii[0] * 0.75
    t = (where.along - middle) / (length / 2)
    a = where.around / half
    inside = 1 - (np.abs(t) ** 4 + np.abs(a) ** 4) ** 0.25
    return np.where(where.finger == number, np.clip(inside / 0.07, 0, 1), 0).astype(np.float32)
