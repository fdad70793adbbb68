"""Draws a planned spike from back to front and remembers what belongs to which floret."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.anther import draw_anther
from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.floret import draw_floret
from spikecheck.synthetic.frame import Pose
from spikecheck.synthetic.leftovers import Leftover, Place, pose_in_opening
from spikecheck.synthetic.rachis import (
    SPIKE_CODE,
    draw_awn,
    draw_glume,
    draw_rod,
    draw_stem,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.canvas import Canvas
    from spikecheck.synthetic.genotype import Genotype
    from spikecheck.synthetic.spike_plan import PlannedFloret, SpikePlan

FIRST_FLORET_CODE = 10
_RACHIS_DEPTH = -0.2


def body_code(index: int) -> int:
    """Return the owner code of the outside of floret ``index`` of the plan."""
    return FIRST_FLORET_CODE + 2 * index


def opening_code(index: int) -> int:
    """Return the owner code of the opening of floret ``index`` of the plan."""
    return FIRST_FLORET_CODE + 2 * index + 1


@dataclass(slots=True)
class Drawn:
    """What drawing a spike yields beside the picture.

    Parameters
    ----------
    opening_px
        Pixels of each floret's opening before anything covers it, by index in the plan.
    anther_mm2
        Whole area of each leftover as drawn, mm², by its code.
    """

    opening_px: dict[int, int] = field(default_factory=dict)
    anther_mm2: dict[int, float] = field(default_factory=dict)


def draw_spike(
    canvas: Canvas,
    rng: np.random.Generator,
    plan: SpikePlan,
    genotype: Genotype,
    leftovers: list[Leftover],
    anther_rng: np.random.Generator,
    stem_mm: float,
) -> Drawn:
    """Draw a spike with its leftovers.

    Parameters
    ----------
    canvas, plan, genotype
        Where and what.
    rng
        Random stream of the plant.
    leftovers, anther_rng
        Anthers to draw and their random stream, so that the plant stays the same without them.
    stem_mm
        Length of the peduncle below the base, mm.
    """
    ppm = plan.axis.px_per_mm
    drawn = Drawn()
    organs: list[tuple[float, float, int, int]] = [(_RACHIS_DEPTH, 0.0, 0, 0)]
    organs += [(f.depth, f.height_mm, 1, i) for i, f in enumerate(plan.florets)]
    organs += [(g.depth, g.height_mm, 2, i) for i, g in enumerate(plan.glumes)]
    # Layers of like depth are drawn from the tip down: a spikelet's top lies over the next one's
    # foot.
    organs.sort(key=lambda organ: (np.floor(organ[0] / 0.9), -organ[1], organ[2], organ[3]))
    for _, _, sort, index in organs:
        if sort == 0:
            draw_stem(canvas, rng, plan, genotype, stem_mm)
        elif sort == 1:
            inside = [x for x in leftovers if x.floret == index and x.place is not Place.OVER_EDGE]
            over = [x for x in leftovers if x.floret == index and x.place is Place.OVER_EDGE]
            _draw_floret(canvas, rng, plan, index, genotype, inside, anther_rng, drawn)
            for leftover in over:
                _draw_hanging(canvas, anther_rng, plan.florets[index], leftover, ppm, drawn)
        else:
            draw_glume(canvas, rng, plan.glumes[index], genotype, ppm)
    for leftover in leftovers:
        if leftover.place is Place.OUTSIDE:
            _draw_clinging(canvas, anther_rng, plan, leftover, drawn)
    return drawn


def _draw_floret(
    canvas: Canvas,
    rng: np.random.Generator,
    plan: SpikePlan,
    index: int,
    genotype: Genotype,
    inside: list[Leftover],
    anther_rng: np.random.Generator,
    drawn: Drawn,
) -> None:
    """Draw one floret with the anthers inside it."""
    floret, ppm = plan.florets[index], plan.axis.px_per_mm
    opening = floret.shape.opening

    def content(_window: NDArray[np.float32]) -> None:
        for leftover in inside:
            if opening is not None:
                pose = pose_in_opening(anther_rng, leftover, opening, ppm)
                drawn.anther_mm2[leftover.code] = draw_anther(
                    canvas, anther_rng, leftover.look, pose, ppm, code=leftover.code,
                    shade=float(anther_rng.uniform(0.7, 1.0)),
                )  # fmt: skip

    drawn.opening_px[index] = draw_floret(
        canvas, rng, floret.shape, genotype, ppm,
        body_code=body_code(index), opening_code=opening_code(index), content=content,
    )  # fmt: skip
    if opening is None and floret.awn_mm > 0:
        draw_awn(canvas, rng, floret, genotype, ppm)


def _draw_hanging(
    canvas: Canvas,
    rng: np.random.Generator,
    floret: PlannedFloret,
    leftover: Leftover,
    px_per_mm: float,
    drawn: Drawn,
) -> None:
    """Draw an anther that hangs over the edge on its filament."""
    opening = floret.shape.opening
    if opening is None:
        return
    pose = pose_in_opening(rng, leftover, opening, px_per_mm)
    inner = opening.pose.place(
        opening.centre_mm + rng.uniform(-0.3, 0.3) * opening.half_along_mm,
        rng.uniform(-0.4, 0.4) * opening.half_across_mm
        + opening.bend_per_mm * opening.centre_mm**2,
        px_per_mm,
    )  # fmt: skip
    draw_rod(canvas, rng, inner, (pose.row, pose.column), (0.07, 0.07),
             linear((228, 230, 206)), px_per_mm, owner=SPIKE_CODE,
             bend_per_mm=rng.normal(0, 0.08))  # fmt: skip
    drawn.anther_mm2[leftover.code] = draw_anther(
        canvas, rng, leftover.look, pose, px_per_mm, code=leftover.code
    )


def _draw_clinging(
    canvas: Canvas,
    rng: np.random.Generator,
    plan: SpikePlan,
    leftover: Leftover,
    drawn: Drawn,
) -> None:
    """Draw an anther that sticks to the outside of the spike."""
    axis = plan.axis
    for _ in range(40):
        t = rng.uniform(0.05, 0.98) * axis.length_mm
        row, column = axis.place(float(t), float(rng.normal(0, 3.0)))
        r, c = round(row), round(column)
        height, width = canvas.owner.shape
        if 0 <= r < height and 0 <= c < width and _is_outside(int(canvas.owner[r, c])):
            break
    angle = axis.angle_at(float(t)) + rng.uniform(-np.pi, np.pi)
    half = leftover.look.length_mm / 2 * axis.px_per_mm
    pose = Pose(row + half * float(np.cos(angle)), column - half * float(np.sin(angle)),
                float(angle), float(rng.uniform(-0.1, 0.3)))  # fmt: skip
    drawn.anther_mm2[leftover.code] = draw_anther(
        canvas, rng, leftover.look, pose, axis.px_per_mm, code=leftover.code
    )


def _is_outside(owner: int) -> bool:
    """Whether a pixel shows the outside of the spike, not an opening or the background."""
    opening = owner >= FIRST_FLORET_CODE and (owner - FIRST_FLORET_CODE) % 2 == 1
    return owner >= SPIKE_CODE and not opening
