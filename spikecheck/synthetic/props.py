"""Things that are no spike: fingers, leaves, printed tags."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.frame import Pose, patch_of
from spikecheck.synthetic.hull import HullShape, tissue
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.brush import Brush

_SKINS = ((224, 172, 142), (198, 142, 110), (150, 102, 76), (108, 72, 54), (236, 192, 168))
_GLOVES = ((62, 92, 158), (226, 226, 222), (44, 46, 50))


def draw_finger(brush: Brush, pose: Pose) -> None:
    """Draw a finger, bare or gloved, its tip at the pose and the hand behind it."""
    rng = brush.rng
    half, length = float(rng.uniform(6.5, 9.0)), 130.0
    back = Pose(*pose.place(-length, 0, brush.px_per_mm), pose.angle, 0.0)
    patch = patch_of(
        back,
        t_mm=(-1, length + half + 1),
        half_mm=half * 1.5,
        px_per_mm=brush.px_per_mm,
        within=brush.canvas.alpha.shape,
    )
    beyond = patch.t - (length - half)
    wide = half * (1 + 0.12 * np.sin(patch.t / 11) + 0.0016 * (length - patch.t))
    reach = np.sqrt(patch.s**2 + (np.maximum(beyond, 0) * 1.05) ** 2)
    cover = patch.cover((wide - reach).astype(np.float32))
    v = np.clip(patch.s / wide, -1.1, 1.1)
    fine = layered(rng, v.shape, 0.35 * brush.px_per_mm, 2)
    soft = layered(rng, v.shape, 5 * brush.px_per_mm)
    gloved = chance(rng, 0.3)
    base = jittered(rng, _GLOVES[rng.integers(3)] if gloved else _SKINS[rng.integers(5)], 5)
    colour = base * (1 + (0.02 if gloved else 0.05) * fine + 0.06 * soft)[..., None]
    along = 0.8 * np.clip(beyond / half, 0, 1) + 0.05 * fine
    if not gloved:
        for crease in (length - half - 14, length - half - 16, length - half - 38):
            fold = np.exp(-(((patch.t - crease - 0.5 * soft) / 0.35) ** 2))
            colour = colour * (1 - 0.25 * fold[..., None])
        blush = np.clip(1 - (length - patch.t) / 16, 0, 1)
        colour = mixed(colour, linear((214, 120, 110)), blush * 0.25)
        if chance(rng, 0.6):
            colour = _nailed(colour, patch.t - (length - 5.5), patch.s, half)
    surface = Surface(
        np.clip(colour, 0.01, 0.9).astype(np.float32), (v * 1.2 + 0.05 * fine).astype(np.float32),
        along.astype(np.float32), thin=0.15, gloss=0.12 if gloved else 0.05, shine=16.0,
    )  # fmt: skip
    brush.canvas.stamp(
        patch, cover, lit(surface, patch, brush.canvas.light), shadow=0.5, reach_mm=2.0
    )


def _nailed(colour: Floats, t: Floats, s: Floats, half_mm: float) -> Floats:
    """Return the skin's colour with a nail."""
    radius = (np.abs(s / (half_mm * 0.62)) ** 2.6 + np.abs(t / 5.2) ** 2.6) ** (1 / 2.6)
    nail = np.clip((1 - radius) * 8, 0, 1)
    edge = np.clip((t - 3.6) * 3, 0, 1) * nail
    rim = np.exp(-(((radius - 1) / 0.05) ** 2))
    shown = mixed(colour, linear((232, 178, 166)), nail * 0.6)
    shown = mixed(shown, linear((240, 230, 218)), edge * 0.8)
    return np.asarray(shown * (1 - 0.3 * rim[..., None]), np.float32)


def draw_leaf(brush: Brush, pose: Pose) -> None:
    """Draw a leaf blade, its middle at the pose."""
    rng = brush.rng
    length, half = float(rng.uniform(110, 170)), float(rng.uniform(4.5, 7.5))
    hull = HullShape(length, half, widest=0.45, foot=0.75, taper=2.0)
    back = Pose(*pose.place(-length * 0.5, 0, brush.px_per_mm), pose.angle, 0.1)
    bend = float(rng.normal(0, 0.0006))
    patch = patch_of(back, t_mm=(-2, length + 1), half_mm=half + 1, px_per_mm=brush.px_per_mm,
                     within=brush.canvas.alpha.shape, bend_per_mm=bend)  # fmt: skip
    surface = tissue(rng, patch, hull, brush.genotype, keel=0.4, shade=0.85)
    rgb = lit(surface, patch, brush.canvas.light)
    brush.canvas.stamp(patch, patch.cover(hull.inside(patch)), rgb, shadow=0.45, reach_mm=1.5)


def draw_tag(brush: Brush, pose: Pose) -> None:
    """Draw a small tie-on tag with lines of writing, its middle at the pose."""
    rng = brush.rng
    half, length = float(rng.uniform(7, 10)), float(rng.uniform(26, 38))
    back = Pose(*pose.place(-length / 2, 0, brush.px_per_mm), pose.angle, 0.0)
    patch = patch_of(
        back,
        t_mm=(-1, length + 1),
        half_mm=half + 1,
        px_per_mm=brush.px_per_mm,
        within=brush.canvas.alpha.shape,
    )
    t, s = patch.t, patch.s
    box_t, box_s = np.abs(t - length / 2) - (length / 2 - 2), np.abs(s) - (half - 2)
    outside = np.sqrt(np.maximum(box_t, 0) ** 2 + np.maximum(box_s, 0) ** 2)
    hole = np.sqrt((t - 3.2) ** 2 + s**2) - 1.4
    cover = patch.cover(np.minimum(2 - outside, hole).astype(np.float32))
    fine = layered(rng, t.shape, 2.0, 2)
    colour = jittered(rng, ((232, 230, 222), (238, 222, 150), (224, 200, 164))[rng.integers(3)], 5)
    ink, start = np.zeros_like(t), 6.0
    for row in np.arange(-half + 2.2, half - 1.5, 2.6):
        waves = np.sin(t * rng.uniform(3, 6) + rng.uniform(0, 6)) * np.sin(t * 1.3 + row)
        line = patch.cover(0.16 - np.abs(s - row - 0.55 * waves))
        ink = np.maximum(ink, line * ((t > start) & (t < length - rng.uniform(2, 12))))
    shown = mixed(colour * (1 + 0.02 * fine[..., None]), linear((38, 40, 58)), ink * 0.85)
    flat = np.full_like(t, 0.05)
    rgb = lit(Surface(shown, flat, flat, gloss=0.03), patch, brush.canvas.light)
    brush.canvas.stamp(patch, cover, rgb, shadow=0.45, reach_mm=1.5)


PROPS: tuple[Callable[[Brush, Pose], None], ...] = (draw_finger, draw_leaf, draw_tag)


def occlude(brush: Brush, place: tuple[float, float], angle: float) -> None:
    """Lay a finger, a leaf or a tag over (row, column) ``place``, across ``angle``."""
    rng = brush.rng
    draw = PROPS[int(rng.integers(len(PROPS)))]
    turn = angle + float(rng.choice((-1, 1)) * rng.uniform(0.9, 1.5))
    pose = Pose(place[0], place[1], turn)
    if draw is draw_finger:
        # The tip reaches past the spike.
        pose = Pose(*pose.place(float(rng.uniform(5, 12)), 0, brush.px_per_mm), turn)
    draw(brush, pose)


def strew(brush: Brush) -> None:
    """Fill a picture without a spike: a leaf, fingers, tags, or nothing at all."""
    rng = brush.rng
    height, width = brush.canvas.alpha.shape
    draw = PROPS[int(rng.integers(len(PROPS)))]
    for _ in range(int(rng.integers(0, 3))):
        row, column = rng.uniform(0.3, 0.7) * height, rng.uniform(0.25, 0.75) * width
        draw(brush, Pose(float(row), float(column), float(rng.uniform(-1.4, 1.4))))
