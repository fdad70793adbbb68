"""One floret: a green boat, closed with a pointed top or clipped open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.frame import patch_of
from spikecheck.synthetic.hull import HullShape, tissue
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.stigma import draw_pistil
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from spikecheck.synthetic.canvas import Canvas
    from spikecheck.synthetic.frame import Patch, Pose
    from spikecheck.synthetic.genotype import Genotype
    from spikecheck.synthetic.opening import Opening

    Content = Callable[[NDArray[np.float32]], None]


@dataclass(frozen=True, slots=True, eq=False)
class FloretShape:
    """How one floret looks in the picture.

    Parameters
    ----------
    pose
        Foot and direction.
    hull
        Its outline before it is cut.
    bend_per_mm
        Sideways bend.
    opening
        The cut opening, or None when the floret is closed.
    shade
        Brightness of its tissue.
    """

    pose: Pose
    hull: HullShape
    bend_per_mm: float
    opening: Opening | None
    shade: float


def draw_floret(
    canvas: Canvas,
    rng: np.random.Generator,
    shape: FloretShape,
    genotype: Genotype,
    px_per_mm: float,
    *,
    body_code: int,
    opening_code: int,
    content: Content | None = None,
) -> int:
    """Draw a floret.

    Parameters
    ----------
    canvas, rng, shape, genotype, px_per_mm
        Where, from what, and how large.
    body_code, opening_code
        Owner codes of its outside and of its opening.
    content
        Draws what lies in the opening behind its front wall; is given the window, float32 array
        of the shape of the floret's patch.

    Returns
    -------
    Pixels of the opening before anything else covers it.
    """
    hull, opening = shape.hull, shape.opening
    top = hull.length_mm
    if opening is not None:
        top = opening.centre_mm + abs(opening.half_along_mm) + 0.6
    patch = patch_of(
        shape.pose, t_mm=(-1.0, top + 0.2), half_mm=hull.half_width_mm + 0.4,
        px_per_mm=px_per_mm, bend_per_mm=shape.bend_per_mm,
    )  # fmt: skip
    distance = hull.inside(patch)
    body_rgb = lit(tissue(rng, patch, hull, genotype, shade=shape.shade), patch, canvas.light)
    if opening is None:
        canvas.stamp(patch, patch.cover(distance), body_rgb, owner=body_code)
        return 0
    if not opening.faces_camera:
        rim = np.maximum(opening.below_cut(patch), opening.inside(patch))
        canvas.stamp(patch, patch.cover(np.minimum(distance, rim)), body_rgb, owner=body_code)
        return 0
    inside = opening.inside(patch)
    window = patch.cover(inside)
    _draw_cavity(canvas, rng, patch, opening, genotype, window, opening_code)
    draw_pistil(canvas, rng, patch, opening, window)
    if content is not None:
        content(window)
    wall = np.minimum(np.minimum(distance, opening.below_cut(patch)), -inside)
    canvas.stamp(patch, patch.cover(wall), body_rgb, owner=body_code, shadow=0.3, reach_mm=0.35)
    _draw_rim(canvas, rng, patch, opening, genotype)
    return int(np.count_nonzero(window > 0.5))


def _draw_cavity(
    canvas: Canvas,
    rng: np.random.Generator,
    patch: Patch,
    opening: Opening,
    genotype: Genotype,
    window: NDArray[np.float32],
    code: int,
) -> None:
    """Draw the far wall, from its lit upper edge down into the shadow."""
    radius, p, q = opening.polar(patch)
    soft = layered(rng, p.shape, 0.6 * patch.px_per_mm)
    side = rng.uniform(-0.25, 0.25)
    depth = np.clip(0.42 - 0.55 * q + 0.1 * soft + side * p, 0, 1)
    wall = mixed(genotype.base, linear((206, 214, 160)), np.float32(rng.uniform(0.15, 0.6)))
    nerve = np.cos(p * np.pi * rng.uniform(1.5, 3.5) + rng.uniform(-1, 1)) ** 4
    colour = mixed(wall, genotype.green, np.clip(nerve * 0.5 + 0.1 * soft, 0, 1))
    dark = linear((66, 88, 30)) * np.float32(rng.uniform(0.5, 1.5))
    colour = mixed(colour, dark, np.clip(depth * 1.1, 0, 1) ** 1.4)
    sink = 1.05 - rng.uniform(0.7, 0.95) * np.clip(depth + 0.15 * (radius < 0.5), 0, 1)
    # The palea: a paler fold inside the far side, with two keels.
    fold = np.clip((0.9 - radius) * 6, 0, 1) * np.clip((q - rng.uniform(-0.3, 0.2)) * 3, 0, 1)
    keels = np.exp(-(((np.abs(p) - 0.45) / 0.07) ** 2))
    colour = mixed(colour, linear((196, 206, 150)), fold * rng.uniform(0.1, 0.5))
    colour = mixed(colour, genotype.vein, fold * keels * 0.4)
    surface = Surface(
        albedo=(colour * np.clip(sink, 0.06, 1.1)[..., None]).astype(np.float32),
        across=(-0.9 * p).astype(np.float32),
        along=np.full_like(p, -0.25),
        thin=0.7,
        gloss=0.05,
    )
    canvas.stamp(patch, window, lit(surface, patch, canvas.light), owner=code, shadow=0.3)


def _draw_rim(
    canvas: Canvas,
    rng: np.random.Generator,
    patch: Patch,
    opening: Opening,
    genotype: Genotype,
) -> None:
    """Draw the cut edge of the lemma, and of the palea inside the far side."""
    radius, p, q = opening.polar(patch)
    inside = opening.inside(patch)
    ragged = layered(rng, p.shape, 0.7 * patch.px_per_mm)
    turn = np.arctan2(q, p) + rng.uniform(0, 6)
    # The cut is seen flat on the far side and edge on in front, and thins out where it was torn.
    width = rng.uniform(0.1, 0.2) * (1 + 0.4 * np.sin(turn) + 0.3 * np.sin(2.3 * turn))
    half = np.clip(width * (1 + 0.4 * ragged), 0.03, 0.32) / 2
    cut = jittered(rng, ((200, 208, 152), (218, 218, 184), (186, 178, 118))[rng.integers(3)], 8)
    colour = mixed(cut, genotype.green, np.clip(0.3 + 0.35 * ragged, 0, 0.85))
    if rng.random() < 0.35:
        colour = mixed(colour, linear((140, 108, 66)), np.clip(0.7 * ragged - 0.1, 0, 0.8))
    surface = Surface(
        np.broadcast_to(colour, (*p.shape, 3)).astype(np.float32),
        (0.6 * p).astype(np.float32),
        (0.4 * q).astype(np.float32),
        thin=0.6,
        gloss=0.08,
    )
    rgb = lit(surface, patch, canvas.light)
    ring = patch.cover(half - np.abs(inside)) * np.clip(0.9 + 0.3 * ragged, 0.3, 1)
    canvas.stamp(
        patch, ring * np.float32(rng.uniform(0.7, 1.0)), rgb,
        shadow=0.2, reach_mm=0.1, decoration=True,
    )  # fmt: skip
    if rng.random() < 0.75:
        r0 = rng.uniform(0.62, 0.85) + 0.05 * ragged
        arc = patch.cover(0.05 - np.abs(radius - r0) * opening.half_across_mm)
        arc *= np.clip((q - rng.uniform(-0.2, 0.3)) * 4, 0, 1)
        canvas.stamp(
            patch, arc * np.float32(rng.uniform(0.3, 0.8)), rgb * np.float32(0.85),
            shadow=0.4, reach_mm=0.1, decoration=True,
        )  # fmt: skip
