"""A leftover anther: two lobes with a groove, whole or broken, on its filament or without."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.frame import patch_of
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered
from spikecheck.vocabulary import AntherStage

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.brush import Brush
    from spikecheck.synthetic.frame import Patch, Pose

# sRGB, from pale green through yellow-green to yellow and to the bleached empty anther.
_GREENS = ((188, 206, 132), (164, 196, 98), (148, 186, 92), (196, 208, 112))
_YELLOWS = ((226, 206, 88), (234, 214, 112), (218, 190, 70), (230, 218, 136))
_EMPTY = ((232, 222, 186), (224, 210, 160), (238, 232, 208))
_YELLOW_GREEN = (200, 206, 92)
_NEAR_SHARE = 0.25


@dataclass(frozen=True, slots=True)
class AntherLook:
    """One leftover anther.

    Parameters
    ----------
    stage
        Stage by its look.
    near_anthesis
        Yellow-green or later.
    broken
        Whether only a piece is there.
    length_mm, width_mm
        Size of what is there, mm.
    bend_per_mm
        Sideways bend.
    tint
        sRGB colour, 0..255.
    """

    stage: AntherStage
    near_anthesis: bool
    broken: bool
    length_mm: float
    width_mm: float
    bend_per_mm: float
    tint: tuple[int, int, int]


def draw_look(
    rng: np.random.Generator, stage: AntherStage, typical_mm: float, *, broken: bool
) -> AntherLook:
    """Return an anther of a stage at random.

    Parameters
    ----------
    rng
        Random stream.
    stage
        Its stage.
    typical_mm
        Length of the line's ripe anthers, mm: green ones are shorter, 1.8-3.0 mm; width
        0.6-1.0 mm (lengths 1.8-4.5 mm in all).
    broken
        Whether only a piece of it is there.
    """
    near = stage is not AntherStage.GREEN
    if stage is AntherStage.GREEN:
        near = chance(rng, _NEAR_SHARE)
        tint = _YELLOW_GREEN if near else _GREENS[int(rng.integers(len(_GREENS)))]
        length = np.clip(typical_mm * rng.uniform(0.72, 0.9), 1.8, 3.2)
    elif stage is AntherStage.YELLOW:
        tint = _YELLOWS[int(rng.integers(len(_YELLOWS)))]
        length = typical_mm * rng.uniform(0.95, 1.1)
    else:
        tint = _EMPTY[int(rng.integers(len(_EMPTY)))]
        length = typical_mm * rng.uniform(0.9, 1.05)
    width = rng.uniform(0.66, 0.98) * (0.85 if stage is AntherStage.DEHISCED else 1.0)
    if broken:
        length *= rng.uniform(0.4, 0.6)
    return AntherLook(
        stage=stage, near_anthesis=near, broken=broken,
        length_mm=float(np.clip(length, 1.0, 4.5)), width_mm=float(np.clip(width, 0.6, 1.0)),
        bend_per_mm=float(rng.normal(0, 0.07)), tint=tint,
    )  # fmt: skip


def draw_anther(
    brush: Brush,
    look: AntherLook,
    pose: Pose,
    *,
    code: int,
    shade: float = 1.0,
) -> float:
    """Draw an anther pointing from its foot along its pose.

    Returns
    -------
    Its whole area as drawn, before anything covers it, mm².
    """
    rng, px_per_mm, canvas = brush.rng, brush.px_per_mm, brush.canvas
    half = look.width_mm / 2
    patch = patch_of(
        pose, t_mm=(-0.3, look.length_mm + 0.3), half_mm=half + 0.15,
        px_per_mm=px_per_mm, bend_per_mm=look.bend_per_mm,
    )  # fmt: skip
    cover = patch.cover(_distance(rng, patch, look))
    rgb = lit(_surface(rng, patch, look, shade), patch, canvas.light)
    canvas.stamp(patch, cover, rgb, anther=code, shadow=0.45, reach_mm=0.25)
    return float(cover.sum()) / px_per_mm**2


def _distance(rng: np.random.Generator, patch: Patch, look: AntherLook) -> Floats:
    """Return the distance inside the outline, mm: two lobes that part a little at both ends."""
    half = look.width_mm / 2
    lobe = half * 0.68
    part = rng.uniform(0.02, 0.12)
    best = np.full(patch.t.shape, -9.0, np.float32)
    for side in (-1, 1):
        short = rng.uniform(0, 0.12)
        middle = look.length_mm / 2
        spread = part * ((patch.t - middle) / middle) ** 2
        s = patch.s - side * (half - lobe + spread)
        start, end = lobe + short * 0.5, look.length_mm - lobe - short
        if look.broken:
            end = look.length_mm - 0.1 + side * 0.12 * rng.uniform(0, 1)
        beyond = np.maximum(np.maximum(start - patch.t, patch.t - end), 0)
        slim = 1 - 0.3 * np.clip(np.abs((patch.t - middle) / middle), 0, 1) ** 3
        best = np.maximum(best, lobe * slim - np.sqrt(s * s + beyond * beyond))
    if look.broken:
        ragged = 0.08 * np.sin(patch.s * 14 + rng.uniform(0, 6))
        best = np.minimum(best, look.length_mm - 0.15 + ragged - patch.t)
    return best


def _surface(rng: np.random.Generator, patch: Patch, look: AntherLook, shade: float) -> Surface:
    """Return the tissue of an anther: grooved, finely grained, slit when open."""
    half = look.width_mm / 2
    v = np.clip(patch.s / half, -1.1, 1.1)
    u = patch.t / look.length_mm
    fine = layered(rng, v.shape, max(1.2, 0.09 * patch.px_per_mm), 2)
    soft = layered(rng, v.shape, 0.6 * patch.px_per_mm)
    colour = np.broadcast_to(jittered(rng, look.tint, 6), (*v.shape, 3))
    ripe = (
        linear((236, 226, 140)) if look.stage is not AntherStage.GREEN else linear((206, 214, 142))
    )
    colour = mixed(colour, ripe, np.clip(0.25 + 0.3 * soft + 0.25 * (u - 0.5), 0, 0.6))
    groove = np.exp(-((v / 0.14) ** 2)) * np.clip(0.75 + 0.4 * soft, 0.2, 1)
    colour = colour * (1 - 0.22 * groove + 0.05 * fine)[..., None]
    if look.stage is AntherStage.DEHISCED:
        slit = np.exp(-(((np.abs(v) - 0.55) / 0.12) ** 2)) * np.clip((u - 0.35) * 5, 0, 1)
        colour = mixed(colour, linear((168, 142, 92)), np.clip(slit * 0.6, 0, 1))
        pore = np.exp(-(((u - 0.93) / 0.06) ** 2) - ((np.abs(v) - 0.5) / 0.25) ** 2)
        colour = mixed(colour, linear((120, 96, 56)), np.clip(pore * 0.6, 0, 1))
        colour = colour * (1 + 0.1 * soft)[..., None]
    if look.broken:
        torn = np.clip((patch.t - look.length_mm + 0.35) / 0.25, 0, 1)
        colour = mixed(colour, linear((226, 214, 150)), torn * 0.6)
    lobes = np.sin(v * np.pi) * -0.2 + v * 1.05
    return Surface(
        albedo=np.clip(colour * shade, 0.004, 0.95).astype(np.float32),
        across=(lobes + 0.06 * fine).astype(np.float32),
        along=(0.5 * (u - 0.5) - 0.5 * patch.pose.toward + 0.06 * fine).astype(np.float32),
        thin=0.3,
        gloss=0.1 if look.stage is AntherStage.DEHISCED else 0.2,
        shine=24.0,
    )
