"""Stem, zigzag rachis and the stumps of trimmed spikelets; glumes and awns."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear, mixed
from spikecheck.synthetic.frame import patch_of
from spikecheck.synthetic.hull import tissue
from spikecheck.synthetic.light import lit
from spikecheck.synthetic.rod import Rod, draw_rod
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from spikecheck.synthetic.brush import Brush
    from spikecheck.synthetic.spike_plan import PlannedFloret, PlannedGlume, SpikePlan

STEM_CODE = 1
SPIKE_CODE = 2

_LONG_AWN_MM = 8.0


def draw_stem(brush: Brush, plan: SpikePlan, stem_mm: float) -> None:
    """Draw the peduncle downwards from the base, and the bare rachis above it."""
    axis, rng, genotype = plan.axis, brush.rng, brush.genotype
    collar = float(rng.uniform(-5, -2.5))
    half = float(rng.uniform(0.65, 0.95))
    stops = [axis.place(float(t)) for t in (*np.arange(collar - stem_mm, collar - 1, 10.0), collar)]
    for start, end in pairwise(stops):
        draw_rod(brush, Rod(start, end, (half, half), genotype.stem, STEM_CODE, shadow=0))
    tip = (plan.nodes[-1][0] + float(rng.uniform(0.8, 2.2)), 0.0)
    nodes = [(collar - 0.4, 0.0), *plan.nodes, tip]
    pale = mixed(genotype.stem, genotype.base, 0.5)
    for (t0, s0), (t1, s1) in pairwise(nodes):
        start, end = axis.place(t0, s0), axis.place(t1, s1)
        foot = half * 0.97 if t0 < collar else 0.42
        draw_rod(brush, Rod(start, end, (foot, 0.56), pale, SPIKE_CODE))
    for t in np.arange(collar + 0.8, -0.5, plan.internode_mm * 0.8):
        side = float(rng.choice((-1, 1)))
        knob = axis.place(float(t) + 0.7, 0.9 * side)
        stump = Rod(axis.place(float(t), 0.3 * side), knob, (0.38, 0.3), pale, SPIKE_CODE)
        face = Rod(knob, axis.place(float(t) + 0.75, 0.98 * side), (0.26, 0.26),
                   linear((206, 204, 164)), SPIKE_CODE)  # fmt: skip
        draw_rod(brush, stump)
        draw_rod(brush, face)


def draw_glume(brush: Brush, glume: PlannedGlume) -> None:
    """Draw a glume, its top cut straight or running out into a short beak."""
    shape, rng, ppm = glume.shape, brush.rng, brush.px_per_mm
    hull = shape.hull
    patch = patch_of(shape.pose, t_mm=(-0.8, hull.length_mm + 0.3),
                     half_mm=hull.half_width_mm + 0.3, px_per_mm=ppm,
                     bend_per_mm=shape.bend_per_mm)  # fmt: skip
    distance = hull.inside(patch)
    surface = tissue(rng, patch, hull, brush.genotype, keel=0.6, shade=shape.shade)
    rgb = lit(surface, patch, brush.canvas.light)
    if glume.cut < 1:
        ragged = 0.06 * layered(rng, patch.t.shape, 0.6 * ppm, 2)
        edge = glume.cut * hull.length_mm + rng.normal(0, 0.15) * patch.s + ragged - patch.t
        distance = np.minimum(distance, edge)
        pale = patch.cover(0.09 - np.abs(edge - 0.06))
        rgb = mixed(rgb, rgb * 0.4 + 0.5 * linear((220, 220, 184)), pale * 0.8)
    brush.canvas.stamp(patch, patch.cover(distance), rgb, owner=SPIKE_CODE,
                       shadow=0.4, reach_mm=0.5)  # fmt: skip


def draw_awn(brush: Brush, floret: PlannedFloret) -> None:
    """Draw the awn, or what was left of it, from the tip of a closed floret."""
    hull, pose, rng = floret.shape.hull, floret.shape.pose, brush.rng
    s = floret.shape.bend_per_mm * hull.length_mm**2
    lean = float(rng.normal(0, 0.12))
    colour = mixed(brush.genotype.green, brush.genotype.base, float(rng.uniform(0.2, 0.9)))
    draw_rod(brush, Rod(
        start=pose.place(hull.length_mm - 0.8, s, brush.px_per_mm),
        end=pose.place(hull.length_mm + floret.awn_mm, s + floret.awn_mm * lean, brush.px_per_mm),
        half_mm=(0.24, 0.1 if floret.awn_mm > _LONG_AWN_MM else 0.14),
        colour=colour, owner=SPIKE_CODE, bend_per_mm=float(rng.normal(0, 0.0015)),
    ))  # fmt: skip
