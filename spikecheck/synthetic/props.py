"""Things that are no spike: fingers, leaves, printed tags."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.frame import Pose, patch_of
from spikecheck.synthetic.hull import HullShape, tissue
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from spikecheck.synthetic.canvas import Canvas
    from spikecheck.synthetic.genotype import Genotype

_SKINS = ((224, 172, 142), (198, 142, 110), (150, 102, 76), (108, 72, 54), (236, 192, 168))
_GLOVES = ((62, 92, 158), (226, 226, 222), (44, 46, 50))


def draw_finger(
    canvas: Canvas, rng: np.random.Generator, pose: Pose, px_per_mm: float, _line: Genotype
) -> None:
    """Draw a finger, bare or gloved, its tip at the pose and the hand behind it."""
    half, length = float(rng.uniform(6.5, 9.0)), 130.0
    back = Pose(*pose.place(-length, 0, px_per_mm), pose.angle, 0.0)
    patch = patch_of(back, t_mm=(-1, length + half + 1), half_mm=half * 1.5, px_per_mm=px_per_mm)
    beyond = patch.t - (length - half)
    wide = half * (1 + 0.12 * np.sin(patch.t / 11) + 0.0016 * (length - patch.t))
    reach = np.sqrt(patch.s**2 + (np.maximum(beyond, 0) * 1.05) ** 2)
    cover = patch.cover((wide - reach).astype(np.float32))
    v = np.clip(patch.s / wide, -1.1, 1.1)
    fine = layered(rng, v.shape, 0.35 * px_per_mm, 2)
    soft = layered(rng, v.shape, 5 * px_per_mm)
    gloved = rng.random() < 0.3
    base = jittered(rng, _GLOVES[rng.integers(3)] if gloved else _SKINS[rng.integers(5)], 5)
    colour = base * (1 + (0.02 if gloved else 0.05) * fine + 0.06 * soft)[..., None]
    along = 0.8 * np.clip(beyond / half, 0, 1) + 0.05 * fine
    if not gloved:
        for crease in (length - half - 14, length - half - 16, length - half - 38):
            fold = np.exp(-(((patch.t - crease - 0.5 * soft) / 0.35) ** 2))
            colour = colour * (1 - 0.25 * fold[..., None])
        blush = np.clip(1 - (length - patch.t) / 16, 0, 1)
        colour = mixed(colour, linear((214, 120, 110)), blush * 0.25)
        if rng.random() < 0.6:
            colour = _nailed(colour, patch.t - (length - 5.5), patch.s, half)
    surface = Surface(
        np.clip(colour, 0.01, 0.9).astype(np.float32), (v * 1.2 + 0.05 * fine).astype(np.float32),
        along.astype(np.float32), thin=0.15, gloss=0.12 if gloved else 0.05, shine=16.0,
    )  # fmt: skip
    canvas.stamp(patch, cover, lit(surface, patch, canvas.light), shadow=0.5, reach_mm=2.0)


def _nailed(
    colour: NDArray[np.float32], t: NDArray[np.float32], s: NDArray[np.float32], half_mm: float
) -> NDArray[np.float32]:
    """Return the skin's colour with a nail."""
    radius = (np.abs(s / (half_mm * 0.62)) ** 2.6 + np.abs(t / 5.2) ** 2.6) ** (1 / 2.6)
    nail = np.clip((1 - radius) * 8, 0, 1)
    edge = np.clip((t - 3.6) * 3, 0, 1) * nail
    rim = np.exp(-(((radius - 1) / 0.05) ** 2))
    shown = mixed(colour, linear((232, 178, 166)), nail * 0.6)
    shown = mixed(shown, linear((240, 230, 218)), edge * 0.8)
    return (shown * (1 - 0.3 * rim[..., None])).astype(np.float32)


def draw_leaf(
    canvas: Canvas, rng: np.random.Generator, pose: Pose, px_per_mm: float, line: Genotype
) -> None:
    """Draw a leaf blade, its middle at the pose."""
    length, half = float(rng.uniform(110, 170)), float(rng.uniform(4.5, 7.5))
    hull = HullShape(length, half, widest=0.45, foot=0.75, taper=2.0)
    back = Pose(*pose.place(-length * 0.5, 0, px_per_mm), pose.angle, 0.1)
    bend = float(rng.normal(0, 0.0006))
    patch = patch_of(back, t_mm=(-2, length + 1), half_mm=half + 1, px_per_mm=px_per_mm,
                     bend_per_mm=bend)  # fmt: skip
    surface = tissue(rng, patch, hull, line, keel=0.4, shade=0.85)
    canvas.stamp(patch, patch.cover(hull.inside(patch)), lit(surface, patch, canvas.light),
                 shadow=0.45, reach_mm=1.5)  # fmt: skip


def draw_tag(
    canvas: Canvas, rng: np.random.Generator, pose: Pose, px_per_mm: float, _line: Genotype
) -> None:
    """Draw a small tie-on tag with lines of writing, its middle at the pose."""
    half, length = float(rng.uniform(7, 10)), float(rng.uniform(26, 38))
    back = Pose(*pose.place(-length / 2, 0, px_per_mm), pose.angle, 0.0)
    patch = patch_of(back, t_mm=(-1, length + 1), half_mm=half + 1, px_per_mm=px_per_mm)
    t, s = patch.t, patch.s
    box_t, box_s = np.abs(t - length / 2) - (length / 2 - 2), np.abs(s) - (half - 2)
    outside = np.sqrt(np.maximum(box_t, 0) ** 2 + np.maximum(box_s, 0) ** 2)
    hole = np.sqrt((t - 3.2) ** 2 + s**2) - 1.4
    cover = patch.cover(np.minimum(2 - outside, hole).astype(np.float32))
    fine = layered(rng, t.shape, 2.0, 2)
    colour = jittered(rng, ((232, 230, 222), (238, 222, 150), (224, 200, 164))[rng.integers(3)], 5)
    ink = np.zeros_like(t)
    for row in np.arange(-half + 2.2, half - 1.5, 2.6):
        waves = np.sin(t * rng.uniform(3, 6) + rng.uniform(0, 6)) * np.sin(t * 1.3 + row)
        line = patch.cover(0.16 - np.abs(s - row - 0.55 * waves))
        ink = np.maximum(ink, line * ((t > 6) & (t < length - rng.uniform(2, 12))))
    shown = mixed(colour * (1 + 0.02 * fine[..., None]), linear((38, 40, 58)), ink * 0.85)
    flat = np.full_like(t, 0.05)
    canvas.stamp(patch, cover, lit(Surface(shown, flat, flat, gloss=0.03), patch, canvas.light),
                 shadow=0.45, reach_mm=1.5)  # fmt: skip


PROPS: tuple[Callable[[Canvas, np.random.Generator, Pose, float, Genotype], None], ...] = (
    draw_finger, draw_leaf, draw_tag,
)  # fmt: skip


def occlude(
    canvas: Canvas,
    rng: np.random.Generator,
    place: tuple[float, float],
    angle: float,
    px_per_mm: float,
    line: Genotype,
) -> None:
    """Lay a finger, two fingers, a leaf or a tag over (row, column) ``place``, across ``angle``."""
    draw = PROPS[int(rng.integers(len(PROPS)))]
    side = rng.choice((-1, 1))
    turn = angle + side * rng.uniform(0.9, 1.5)
    pose = Pose(place[0], place[1], float(turn))
    if draw is draw_finger:
        # The tip reaches past the spike.
        row, column = pose.place(float(rng.uniform(5, 12)), 0, px_per_mm)
        pose = Pose(row, column, float(turn))
    draw(canvas, rng, pose, px_per_mm, line)


def strew(canvas: Canvas, rng: np.random.Generator, px_per_mm: float, line: Genotype) -> None:
    """Fill a picture without a spike: a leaf, a finger, a tag, or nothing at all."""
    height, width = canvas.alpha.shape
    for draw in (PROPS[int(rng.integers(len(PROPS)))],) * int(rng.integers(0, 3)):
        row, column = rng.uniform(0.3, 0.7) * height, rng.uniform(0.25, 0.75) * width
        draw(canvas, rng, Pose(float(row), float(column), float(rng.uniform(-1.4, 1.4))),
             px_per_mm, line)  # fmt: skip
