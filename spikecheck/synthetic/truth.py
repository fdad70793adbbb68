"""Reads the exact truth off the canvas."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.rachis import SPIKE_CODE
from spikecheck.synthetic.spike import body_code, opening_code
from spikecheck.vocabulary import Box, Point, Side, TrueAnther, TrueFloret

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.canvas import Canvas
    from spikecheck.synthetic.leftovers import Leftover
    from spikecheck.synthetic.spike import Drawn
    from spikecheck.synthetic.spike_plan import SpikePlan

_FRONT_MM = 1.9  # openings nearer to the axis than this belong to neither side
_LISTED_SHARE = 0.25  # a far floret is listed when this much of its opening shows
_LEAST_BODY_PX_MM2 = 1.0  # a near floret is listed when this much of it shows, mm²


def _box(mask: NDArray[np.bool_]) -> Box:
    rows, columns = np.flatnonzero(mask.any(1)), np.flatnonzero(mask.any(0))
    return Box(float(rows[0]), float(columns[0]), float(rows[-1] + 1), float(columns[-1] + 1))


def true_florets(canvas: Canvas, plan: SpikePlan, drawn: Drawn) -> dict[int, TrueFloret]:
    """Return the florets that face the camera, by index in the plan, numbered base to tip."""
    axis, ppm = plan.axis, plan.axis.px_per_mm
    counts = np.bincount(canvas.owner.ravel(), minlength=body_code(len(plan.florets)) + 2)
    found: list[tuple[Side, float, int, Point, Box, float]] = []
    for index, floret in enumerate(plan.florets):
        opening = floret.shape.opening
        seen_px = int(counts[opening_code(index)])
        share = seen_px / drawn.opening_px[index] if drawn.opening_px[index] else 0.0
        shown = (seen_px + int(counts[body_code(index)])) / ppm**2
        if shown < _LEAST_BODY_PX_MM2 or not (floret.near or share >= _LISTED_SHARE):
            continue
        mask = (canvas.owner == body_code(index)) | (canvas.owner == opening_code(index))
        if opening is not None and opening.faces_camera:
            t = opening.centre_mm
            # Looked at flatter than 30 degrees, part of the inside is hidden by the near wall.
            share *= min(1.0, opening.half_along_mm / (0.5 * opening.half_across_mm))
        else:
            t = floret.shape.hull.length_mm * (0.5 if opening is None else 0.62)
            share = 0.0
        row, column = floret.shape.pose.place(t, floret.shape.bend_per_mm * t * t, ppm)
        box = _box(mask)
        centre = Point(row, column)
        if not box.contains(centre):
            centre = box.centre
        along, offset = axis.locate(row, column)
        side = Side.FRONT if abs(offset) < _FRONT_MM else (Side.RIGHT if offset > 0 else Side.LEFT)
        position = float(np.clip(along / axis.length_mm, 0, 1))
        found.append((side, position, index, centre, box, float(np.clip(share, 0, 1))))
    listed: dict[int, TrueFloret] = {}
    for side in Side:
        own = sorted(f for f in found if f[0] is side)
        for number, (_, position, index, centre, box, share) in enumerate(own, start=1):
            listed[index] = TrueFloret(
                id=f"{side.letter}{number}", centre=centre, box=box, side=side, position=position,
                clipped=plan.florets[index].shape.opening is not None, cavity_visible=share,
            )  # fmt: skip
    return listed


def true_anthers(
    canvas: Canvas,
    leftovers: list[Leftover],
    drawn: Drawn,
    florets: dict[int, TrueFloret],
    px_per_mm: float,
) -> tuple[TrueAnther, ...]:
    """Return the leftovers that show, with the box and area of what shows of each."""
    found = []
    for leftover in leftovers:
        mask = canvas.anther == leftover.code
        area = float(np.count_nonzero(mask)) / px_per_mm**2
        if area == 0:
            continue
        box = _box(mask)
        rows, columns = np.nonzero(mask)
        owner = florets.get(leftover.floret) if leftover.floret is not None else None
        look = leftover.look
        found.append(TrueAnther(
            centre=Point(float(rows.mean()), float(columns.mean())), box=box,
            floret=owner.id if owner else None, stage=look.stage,
            near_anthesis=look.near_anthesis, broken=look.broken,
            length_mm=round(look.length_mm, 3),
            visible_share=round(min(1.0, area / drawn.anther_mm2[leftover.code]), 3),
            visible_area_mm2=round(area, 3),
        ))  # fmt: skip
    return tuple(found)


def true_outline(canvas: Canvas) -> tuple[Point, ...] | None:
    """Return the outline of the spike without its stem, or None when it does not show."""
    mask = ((canvas.owner >= SPIKE_CODE) | (canvas.anther > 0)).astype(np.uint8)
    whole = cv2.morphologyEx(mask, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    contours, _ = cv2.findContours(whole, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not contours:
        return None
    largest = max(contours, key=cv2.contourArea)
    simple = cv2.approxPolyDP(largest, 2.0, closed=True)[:, 0]
    return tuple(Point(float(y), float(x)) for x, y in simple)
