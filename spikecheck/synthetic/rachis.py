"""Stem, zigzag rachis and the stumps of trimmed spikelets, glumes and awns."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear, mixed
from spikecheck.synthetic.frame import Pose, patch_of
from spikecheck.synthetic.hull import tissue
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.texture import layered, streaks

if TYPE_CHECKING:
    from spikecheck.synthetic.canvas import Canvas
    from spikecheck.synthetic.genotype import Genotype
    from spikecheck.synthetic.spike_plan import PlannedFloret, PlannedGlume, SpikePlan

STEM_CODE = 1
SPIKE_CODE = 2


def draw_rod(
    canvas: Canvas,
    rng: np.random.Generator,
    start: tuple[float, float],
    end: tuple[float, float],
    half_mm: tuple[float, float],
    colour: np.ndarray,
    px_per_mm: float,
    *,
    owner: int,
    bend_per_mm: float = 0.0,
    shadow: float = 0.3,
) -> None:
    """Draw a round stem from ``start`` to ``end`` (row, column), px, tapering as ``half_mm``."""
    dr, dc = end[0] - start[0], end[1] - start[1]
    length = float(np.hypot(dr, dc)) / px_per_mm
    if length < 0.05:
        return
    pose = Pose(start[0], start[1], float(np.arctan2(dc, -dr)))
    patch = patch_of(
        pose, t_mm=(-0.3, length + 0.3), half_mm=max(half_mm) + 0.2, px_per_mm=px_per_mm,
        bend_per_mm=bend_per_mm,
    )  # fmt: skip
    u = np.clip(patch.t / length, 0, 1)
    half = half_mm[0] + (half_mm[1] - half_mm[0]) * u
    v = np.clip(patch.s / half, -1.1, 1.1)
    ends = np.minimum(patch.t + 0.1, length + 0.1 - patch.t)
    cover = patch.cover(np.minimum(half - np.abs(patch.s), ends))
    soft = layered(rng, v.shape, 1.2 * px_per_mm)
    fibre = streaks(rng, v, 24)
    albedo = colour * (1 + 0.06 * soft + 0.08 * fibre)[..., None]
    surface = Surface(
        albedo.astype(np.float32), (v * 1.1 + 0.06 * fibre).astype(np.float32),
        np.zeros_like(v), thin=0.1, gloss=0.08, shine=14.0,
    )  # fmt: skip
    canvas.stamp(patch, cover, lit(surface, patch, canvas.light), owner=owner, shadow=shadow)


def draw_stem(
    canvas: Canvas, rng: np.random.Generator, plan: SpikePlan, genotype: Genotype, stem_mm: float
) -> None:
    """Draw the peduncle downwards from the base, and the bare rachis above it."""
    axis, ppm = plan.axis, plan.axis.px_per_mm
    base = float(rng.uniform(-5, -2.5))
    steps = np.arange(base - stem_mm, base + 1, 10.0)
    stops = [axis.place(float(t)) for t in (*steps, base)]
    half = rng.uniform(0.65, 0.95)
    for start, end in zip(stops[:-1], stops[1:], strict=True):
        draw_rod(canvas, rng, start, end, (half, half), genotype.stem, ppm,
                 owner=STEM_CODE, shadow=0)  # fmt: skip
    nodes = [(base, 0.0), *((t, s) for t, s in plan.nodes)]
    tip = (axis.length_mm - rng.uniform(1.5, 4.0), 0.0)
    pale = mixed(genotype.stem, genotype.base, 0.5)
    for (t0, s0), (t1, s1) in zip(nodes, [*nodes[1:], tip], strict=True):
        draw_rod(canvas, rng, axis.place(t0, s0), axis.place(t1, s1),
                 (0.5, 0.7), pale, ppm, owner=SPIKE_CODE)  # fmt: skip
    for t in np.arange(base + 1.0, -0.5, plan.internode_mm * 0.8):
        side = rng.choice((-1, 1))
        scar = axis.place(float(t), 0.3 * side), axis.place(float(t) + 0.7, 0.9 * side)
        draw_rod(canvas, rng, *scar, (0.38, 0.3), pale, ppm, owner=SPIKE_CODE)
        cut = scar[1], axis.place(float(t) + 0.75, 0.95 * side)
        draw_rod(canvas, rng, *cut, (0.26, 0.26), linear((206, 204, 164)), ppm, owner=SPIKE_CODE)


def draw_glume(
    canvas: Canvas,
    rng: np.random.Generator,
    glume: PlannedGlume,
    genotype: Genotype,
    px_per_mm: float,
) -> None:
    """Draw a glume, its top cut straight or running out into a short beak."""
    shape = glume.shape
    hull = shape.hull
    patch = patch_of(
        shape.pose, t_mm=(-0.8, hull.length_mm + 0.3), half_mm=hull.half_width_mm + 0.3,
        px_per_mm=px_per_mm, bend_per_mm=shape.bend_per_mm,
    )  # fmt: skip
    distance = hull.inside(patch)
    surface = tissue(rng, patch, hull, genotype, keel=0.55, shade=shape.shade)
    rgb = lit(surface, patch, canvas.light)
    if glume.cut < 1:
        ragged = 0.12 * layered(rng, patch.t.shape, 0.4 * px_per_mm, 2)
        edge = glume.cut * hull.length_mm + rng.normal(0, 0.15) * patch.s + ragged - patch.t
        distance = np.minimum(distance, edge)
        pale = patch.cover(0.09 - np.abs(edge - 0.06))
        rgb = mixed(rgb, rgb * 0.4 + 0.5 * linear((220, 220, 184)), pale * 0.8)
    canvas.stamp(patch, patch.cover(distance), rgb, owner=SPIKE_CODE, shadow=0.4, reach_mm=0.5)


def draw_awn(
    canvas: Canvas,
    rng: np.random.Generator,
    floret: PlannedFloret,
    genotype: Genotype,
    px_per_mm: float,
) -> None:
    """Draw the awn, or what was left of it, from the tip of a closed floret."""
    hull, pose = floret.shape.hull, floret.shape.pose
    s = floret.shape.bend_per_mm * hull.length_mm**2
    start = pose.place(hull.length_mm - 0.8, s, px_per_mm)
    lean = rng.normal(0, 0.12)
    end = pose.place(hull.length_mm + floret.awn_mm, s + floret.awn_mm * lean, px_per_mm)
    thin = 0.1 if floret.awn_mm > 8 else 0.14
    colour = mixed(genotype.green, genotype.base, float(rng.uniform(0.2, 0.9)))
    draw_rod(canvas, rng, start, end, (0.24, thin), colour, px_per_mm,
             owner=SPIKE_CODE, bend_per_mm=rng.normal(0, 0.0015))  # fmt: skip
