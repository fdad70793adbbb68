"""Lays a spike out in space and projects it: which organ stands where, and what is in front.

Figures: 10-15 spikelets kept in preparation, 16-20 before it (common practice); rachis internode
3.5-5.5 mm, so 7-11 mm on one side (calculated from spike length and number of spikelets); two
outer florets kept in each spikelet (Hayes and Garber 1921, Breeding Crop Plants, p. 71).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.floret import FloretShape
from spikecheck.synthetic.hull import HullShape
from spikecheck.synthetic.opening import Opening, draw_wobble
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.view import Seat, View, seat_of

if TYPE_CHECKING:
    from spikecheck.synthetic.axis import Axis
    from spikecheck.synthetic.genotype import Genotype
    from spikecheck.synthetic.preparation import Preparation


_NEAR_SINE = 0.02  # an azimuth with a larger sine is on the face towards the camera


@dataclass(frozen=True, slots=True, eq=False)
class PlannedFloret:
    """A floret to draw; ``depth`` orders it from back to front; ``near`` says it is on our face."""

    shape: FloretShape
    depth: float
    height_mm: float
    near: bool
    awn_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class PlannedGlume:
    """A glume to draw: its shape, with its top cut at a share of its length (1: whole)."""

    shape: FloretShape
    depth: float
    height_mm: float
    cut: float


@dataclass(slots=True, eq=False)
class SpikePlan:
    """Everything a spike consists of.

    Parameters
    ----------
    axis
        Line of the rachis.
    internode_mm
        Spacing of the spikelets along it, as it looks in the picture, mm.
    nodes
        (t, s) of each kept spikelet's node, mm.
    florets, glumes
        Organs, in no order.
    """

    axis: Axis
    internode_mm: float
    nodes: list[tuple[float, float]] = field(default_factory=list)
    florets: list[PlannedFloret] = field(default_factory=list)
    glumes: list[PlannedGlume] = field(default_factory=list)


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What a plan is drawn from: random stream, line of the rachis, view and line of plant."""

    rng: np.random.Generator
    axis: Axis
    view: View
    genotype: Genotype


def plan_spike(ground: Ground, count: int, preparation: Preparation) -> SpikePlan:
    """Lay out a spike of ``count`` spikelets."""
    rng, axis, view, genotype = ground.rng, ground.axis, ground.view, ground.genotype
    internode = axis.length_mm / (count + 0.9)
    plan = SpikePlan(axis, internode)
    glume_cut = float(rng.uniform(0.55, 0.85)) if chance(rng, 0.65) else 1.0
    cut = float(rng.uniform(0.6, 0.7))
    closed = rng.random(count * 2) >= preparation.clipped_share
    if preparation.clipped_share == 0:
        glume_cut = 1.0
    for index in range(count):
        t = internode * (index + 0.15) + float(rng.normal(0, 0.15))
        azimuth = view.roll + np.pi * (index % 2) + float(rng.normal(0, 0.12))
        plan.nodes.append((t, 0.85 * float(np.cos(azimuth))))
        size = 1 - 0.16 * abs(2 * (index + 0.5) / count - 0.9) + float(rng.normal(0, 0.03))
        fan = float(np.radians(rng.uniform(36, 56)))
        lean = float(np.radians(rng.uniform(18, 29))) * (1 - 0.3 * index / count)
        for number, turn in enumerate((-fan, fan)):
            seat = seat_of(
                view, t, azimuth + turn, azimuth + turn * 0.95,
                lean=lean + float(rng.normal(0, 0.05)),
                radius_mm=float(rng.uniform(1.5, 2.0)) * size,
            )  # fmt: skip
            near = bool(np.sin(azimuth + turn) > _NEAR_SINE)
            share = None if closed[2 * index + number] else cut + float(rng.normal(0, 0.025))
            shape = _floret(
                ground, seat, size, share,
                turned=not near or chance(rng, preparation.turned_away_share),
            )  # fmt: skip
            awn = _awn_mm(rng, genotype, preparation)
            plan.florets.append(PlannedFloret(shape, seat.depth, t, near, awn))
            plan.glumes.append(
                _glume(ground, (t, azimuth, float(np.sign(turn))), (lean, size, glume_cut))
            )
        if chance(rng, preparation.central_share):
            seat = seat_of(view, t + 1.2, azimuth, azimuth, lean=lean * 0.8, radius_mm=2.6 * size)
            shape = _floret(ground, seat, size * 0.8, None, turned=False)
            near = bool(np.sin(azimuth) > _NEAR_SINE)
            plan.florets.append(PlannedFloret(shape, seat.depth - 0.4, t, near, 0.0))
    return plan


def _awn_mm(rng: np.random.Generator, genotype: Genotype, preparation: Preparation) -> float:
    """Return an awn's length: of an awned line long before preparation, a stub after."""
    if not genotype.awned:
        return 0.0
    whole = preparation.clipped_share == 0
    return float(rng.uniform(14, 34) if whole else rng.uniform(0.5, 5.0))


def _floret(
    ground: Ground, seat: Seat, size: float, cut: float | None, *, turned: bool
) -> FloretShape:
    """Return one floret's shape in the picture."""
    rng, genotype = ground.rng, ground.genotype
    lean = seat.lean + float(rng.normal(0, 0.06))
    pose = ground.axis.pose(seat.t_mm, seat.s_mm, lean, seat.toward)
    size *= float(rng.uniform(0.93, 1.06))
    hull = HullShape(
        length_mm=genotype.floret_mm * size * max(seat.length_share, 0.6),
        half_width_mm=genotype.width_mm / 2 * size * float(rng.uniform(0.86, 1.08)),
        widest=float(rng.uniform(0.42, 0.56)), foot=float(rng.uniform(0.3, 0.45)),
        taper=float(rng.uniform(1.6, 2.4)),
    )  # fmt: skip
    bend = float(rng.normal(0, 0.007) - 0.008 * np.sign(seat.lean))
    opening = None
    if cut is not None:
        centre = cut * hull.length_mm
        across = float(hull.half_width_at(centre)) * float(rng.uniform(0.96, 1.1))
        tip = seat.toward + float(rng.normal(0.16, 0.1))
        along = across * float(rng.uniform(0.8, 1.0)) * float(np.clip(tip, 0.42, 0.95))
        if turned:
            along = -across * float(rng.uniform(0.1, 0.3))
        opening = Opening(
            pose=pose, centre_mm=centre, half_across_mm=across, half_along_mm=along,
            slope=float(rng.normal(0, 0.18)), bend_per_mm=bend,
            roundness=float(rng.uniform(1.45, 2.1)), wobble=draw_wobble(rng),
        )  # fmt: skip
    return FloretShape(pose, hull, bend, opening, float(rng.uniform(0.86, 1.1)))


def _glume(
    ground: Ground, place: tuple[float, float, float], growth: tuple[float, float, float]
) -> PlannedGlume:
    """Return the glume on one side of a spikelet: ``place`` is its height, azimuth and side."""
    rng, genotype = ground.rng, ground.genotype
    (t, azimuth, side), (lean, size, cut) = place, growth
    out = azimuth + side * float(np.radians(rng.uniform(62, 84)))
    seat = seat_of(ground.view, t - 1.5, out, out, lean=lean * 1.05, radius_mm=2.0 * size)
    turn = seat.lean + float(rng.normal(0, 0.06))
    hull = HullShape(
        length_mm=genotype.floret_mm * 0.8 * size * max(seat.length_share, 0.6),
        half_width_mm=genotype.width_mm * 0.48 * size * float(rng.uniform(0.82, 1.05)),
        widest=float(rng.uniform(0.45, 0.6)), foot=0.45, taper=float(rng.uniform(1.7, 2.8)),
    )  # fmt: skip
    shape = FloretShape(
        ground.axis.pose(seat.t_mm, seat.s_mm, turn, seat.toward),
        hull, float(rng.normal(0, 0.01)), None, float(rng.uniform(0.84, 1.04)),
    )  # fmt: skip
    return PlannedGlume(shape, seat.depth + 0.35, t - 0.4, min(1.0, cut + rng.normal(0, 0.04)))
