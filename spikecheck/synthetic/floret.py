"""One floret: a green boat, closed with a pointed top or clipped open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.cavity import draw_cavity, draw_rim
from spikecheck.synthetic.frame import patch_of
from spikecheck.synthetic.hull import HullShape, tissue
from spikecheck.synthetic.light import lit
from spikecheck.synthetic.stigma import draw_pistil

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.synthetic.brush import Brush
    from spikecheck.synthetic.frame import Pose
    from spikecheck.synthetic.opening import Opening

_HALF = 0.5


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
    brush: Brush,
    shape: FloretShape,
    *,
    body_code: int,
    opening_code: int,
    content: Callable[[], None],
) -> int:
    """Draw a floret.

    Parameters
    ----------
    brush, shape
        Where and what.
    body_code, opening_code
        Owner codes of its outside and of its opening.
    content
        Draws what lies in the opening behind its front wall.

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
        px_per_mm=brush.px_per_mm, bend_per_mm=shape.bend_per_mm,
    )  # fmt: skip
    distance = hull.inside(patch)
    skin = tissue(brush.rng, patch, hull, brush.genotype, shade=shape.shade)
    body_rgb = lit(skin, patch, brush.canvas.light)
    if opening is None or not opening.faces_camera:
        if opening is not None:
            rim = np.maximum(opening.below_cut(patch), opening.inside(patch))
            distance = np.minimum(distance, rim)
        brush.canvas.stamp(patch, patch.cover(distance), body_rgb, owner=body_code)
        return 0
    inside = opening.inside(patch)
    window = patch.cover(inside)
    draw_cavity(brush, patch, opening, window, opening_code)
    draw_pistil(brush, patch, opening, window)
    content()
    wall = np.minimum(np.minimum(distance, opening.below_cut(patch)), -inside)
    brush.canvas.stamp(
        patch, patch.cover(wall), body_rgb, owner=body_code, shadow=0.3, reach_mm=0.35
    )
    draw_rim(brush, patch, opening)
    return int(np.count_nonzero(window > _HALF))
