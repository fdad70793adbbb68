"""Draws a planned spike from back to front and remembers what belongs to which floret."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.anther import draw_anther
from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.dew import draw_dew
from spikecheck.synthetic.floret import draw_floret
from spikecheck.synthetic.frame import Pose
from spikecheck.synthetic.leftovers import Leftover, Place, pose_in_opening
from spikecheck.synthetic.rachis import SPIKE_CODE, draw_awn, draw_glume, draw_stem
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.rod import Rod, draw_rod

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Codes
    from spikecheck.synthetic.brush import Brush
    from spikecheck.synthetic.spike_plan import SpikePlan

FIRST_FLORET_CODE = 10
_RACHIS_DEPTH = -0.2
_LAYER_MM = 0.9
_DEWY_SHARE = 0.15


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


class SpikePainter:
    """Draws one spike with its leftovers.

    Parameters
    ----------
    brush
        For the plant.
    plan
        The plant.
    leftovers
        Anthers to draw.
    anther_rng
        Their random stream: the plant stays the same without them.

    Attributes
    ----------
    drawn
        What is known once all is drawn.
    """

    def __init__(
        self,
        brush: Brush,
        plan: SpikePlan,
        leftovers: list[Leftover],
        anther_rng: np.random.Generator,
    ) -> None:
        self.brush = brush
        self.anther_brush = replace(brush, rng=anther_rng)
        self.plan = plan
        self.leftovers = leftovers
        self.drawn = Drawn()

    def paint(self, stem_mm: float) -> Drawn:
        """Draw the spike from back to front on a stem of ``stem_mm`` below its base."""
        organs: list[tuple[float, float, int, int]] = [(_RACHIS_DEPTH, 0.0, 0, 0)]
        organs += [(f.depth, f.height_mm, 1, i) for i, f in enumerate(self.plan.florets)]
        organs += [(g.depth, g.height_mm, 2, i) for i, g in enumerate(self.plan.glumes)]
        # Layers of like depth are drawn from the tip down: a spikelet's top lies over the next
        # one's foot.
        organs.sort(key=lambda o: (np.floor(o[0] / _LAYER_MM), -o[1], o[2], o[3]))
        for _, _, sort, index in organs:
            if sort == 0:
                draw_stem(self.brush, self.plan, stem_mm)
            elif sort == 1:
                self._paint_floret(index)
            else:
                draw_glume(self.brush, self.plan.glumes[index])
        if chance(self.brush.rng, _DEWY_SHARE):
            draw_dew(self.brush, _outside_of(self.brush.canvas.owner))
        for leftover in self.leftovers:
            if leftover.place is Place.OUTSIDE:
                self._paint_clinging(leftover)
        return self.drawn

    def _paint_floret(self, index: int) -> None:
        """Draw one floret with the anthers in it and over its edge."""
        floret = self.plan.florets[index]
        own = [leftover for leftover in self.leftovers if leftover.floret == index]

        def content() -> None:
            for leftover in own:
                if leftover.place is not Place.OVER_EDGE:
                    self._paint_in_opening(index, leftover)

        self.drawn.opening_px[index] = draw_floret(
            self.brush, floret.shape,
            body_code=body_code(index), opening_code=opening_code(index), content=content,
        )  # fmt: skip
        if floret.shape.opening is None and floret.awn_mm > 0:
            draw_awn(self.brush, floret)
        for leftover in own:
            if leftover.place is Place.OVER_EDGE:
                self._paint_in_opening(index, leftover)

    def _paint_in_opening(self, index: int, leftover: Leftover) -> None:
        """Draw an anther in its floret, or hanging over the edge on its filament."""
        opening, rng = self.plan.florets[index].shape.opening, self.anther_brush.rng
        if opening is None:
            return
        ppm = self.brush.px_per_mm
        pose = pose_in_opening(rng, leftover, opening, ppm)
        if leftover.place is Place.OVER_EDGE:
            t = opening.centre_mm + float(rng.uniform(-0.3, 0.3)) * opening.half_along_mm
            s = float(rng.uniform(-0.4, 0.4)) * opening.half_across_mm
            inner = opening.pose.place(t, s + opening.bend_per_mm * t * t, ppm)
            draw_rod(self.anther_brush, Rod(
                inner, (pose.row, pose.column), (0.07, 0.07), linear((228, 230, 206)), SPIKE_CODE,
                bend_per_mm=float(rng.normal(0, 0.08)),
            ))  # fmt: skip
            shade = 1.0
        else:
            shade = float(rng.uniform(0.7, 1.0))
        self._paint_anther(leftover, pose, shade)

    def _paint_clinging(self, leftover: Leftover) -> None:
        """Draw an anther that sticks to the outside of the spike."""
        axis, rng, owner = self.plan.axis, self.anther_brush.rng, self.brush.canvas.owner
        rows, columns = np.nonzero(_outside_of(owner))
        if rows.size == 0:
            return
        pick = int(rng.integers(rows.size))
        along, _ = axis.locate(float(rows[pick]), float(columns[pick]))
        angle = axis.angle_at(along) + float(rng.uniform(-np.pi, np.pi))
        middle = Pose(float(rows[pick]), float(columns[pick]), angle, float(rng.uniform(-0.1, 0.3)))
        row, column = middle.place(-leftover.look.length_mm / 2, 0, axis.px_per_mm)
        self._paint_anther(leftover, replace(middle, row=row, column=column), 1.0)

    def _paint_anther(self, leftover: Leftover, pose: Pose, shade: float) -> None:
        self.drawn.anther_mm2[leftover.code] = draw_anther(
            self.anther_brush, leftover.look, pose, code=leftover.code, shade=shade
        )


def _outside_of(owner: Codes) -> NDArray[np.bool_]:
    """Return where the outside of the spike shows: no opening, stem or background."""
    is_opening = (owner >= FIRST_FLORET_CODE) & ((owner - FIRST_FLORET_CODE) % 2 == 1)
    return np.asarray((owner >= SPIKE_CODE) & ~is_opening)
