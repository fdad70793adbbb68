"""Lays a spike out in space and projects it: which organ stands where, and what is in front.

Figures: 8-14 spikelets kept in preparation, 18-22 before it; rachis internode 3.5-5.5 mm, so
7-11 mm on one side; two outer florets kept in each spikelet (Hayes and Garber 1921, Breeding Crop
Plants, p. 71; the others are common ranges for bread wheat).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.floret import FloretShape
from spikecheck.synthetic.hull import HullShape
from spikecheck.synthetic.opening import Opening, draw_wobble

if TYPE_CHECKING:
    from spikecheck.synthetic.axis import Axis
    from spikecheck.synthetic.genotype import Genotype


@dataclass(frozen=True, slots=True)
class Preparation:
    """What was done to the spike before the photo.

    Parameters
    ----------
    clipped_share
        Share of the florets whose tops are cut.
    central_share
        Share of the spikelets that still have a central floret.
    spikelets
        Least and most spikelets left.
    turned_away_share
        Share of the florets on the near face whose opening cannot be looked into.
    """

    clipped_share: float = 1.0
    central_share: float = 0.0
    spikelets: tuple[int, int] = (8, 14)
    turned_away_share: float = 0.0


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


@dataclass(frozen=True, slots=True)
class View:
    """How the spike is turned to the camera.

    Parameters
    ----------
    roll
        Turn about its own axis, radians; 0 shows the two ranks left and right.
    elevation
        How far its tip leans to the camera, radians.
    """

    roll: float
    elevation: float


def draw_view(rng: np.random.Generator) -> View:
    """Return a view at random: any roll, the tip leaning to the camera so that one looks in."""
    return View(float(rng.uniform(0, 2 * np.pi)), float(np.radians(rng.uniform(22, 38))))


@dataclass(frozen=True, slots=True)
class _Seat:
    """An organ's foot and direction in space, seen by the camera."""

    t_mm: float
    s_mm: float
    depth: float
    lean: float
    length_share: float
    toward: float


def _seat(
    view: View, t_mm: float, azimuth: float, foot_azimuth: float, lean: float, radius_mm: float
) -> _Seat:
    """Return where an organ is seen that leans by ``lean`` out of the axis at an azimuth."""
    out = radius_mm * np.array([np.cos(foot_azimuth), np.sin(foot_azimuth)])
    side = np.sin(lean) * np.cos(azimuth)
    up, depth = np.cos(lean), np.sin(lean) * np.sin(azimuth)
    cos_e, sin_e = np.cos(view.elevation), np.sin(view.elevation)
    seen_up, toward = up * cos_e - depth * sin_e, depth * cos_e + up * sin_e
    return _Seat(
        t_mm=float(t_mm - out[1] * sin_e), s_mm=float(out[0]), depth=float(out[1]),
        lean=float(np.arctan2(side, seen_up)),
        length_share=float(np.hypot(side, seen_up)), toward=float(toward),
    )  # fmt: skip


def plan_spike(
    rng: np.random.Generator,
    axis: Axis,
    count: int,
    view: View,
    genotype: Genotype,
    preparation: Preparation,
) -> SpikePlan:
    """Lay out a spike of ``count`` spikelets along ``axis``."""
    internode = axis.length_mm / (count + 0.9)
    plan = SpikePlan(axis, internode)
    glume_cut = float(rng.uniform(0.55, 0.85)) if rng.random() < 0.65 else 1.0
    cut = float(rng.uniform(0.6, 0.7))
    closed = rng.random(count * 2) >= preparation.clipped_share
    for index in range(count):
        t = internode * (index + 0.15) + rng.normal(0, 0.15)
        azimuth = view.roll + np.pi * (index % 2) + rng.normal(0, 0.12)
        plan.nodes.append((t, 0.55 * float(np.cos(azimuth))))
        size = 1 - 0.16 * abs(2 * (index + 0.5) / count - 0.9) + rng.normal(0, 0.025)
        fan = np.radians(rng.uniform(36, 56))
        lean = np.radians(rng.uniform(18, 29)) * (1 - 0.3 * index / count)
        for number, turn in enumerate((-fan, fan)):
            seat = _seat(
                view, t, azimuth + turn, azimuth + turn * 0.6,
                lean + rng.normal(0, 0.05), rng.uniform(1.9, 2.5) * size,
            )  # fmt: skip
            near = bool(np.sin(azimuth + turn) > 0.02)
            turned = not near or rng.random() < preparation.turned_away_share
            shape = _floret(
                rng, axis, seat, genotype, size,
                None if closed[2 * index + number] else cut + rng.normal(0, 0.025), turned,
            )  # fmt: skip
            awn = float(rng.uniform(0.5, 6.0)) if genotype.awned else 0.0
            plan.florets.append(PlannedFloret(shape, seat.depth, t, near, awn))
            _add_glume(
                rng, plan, view, (t, azimuth, np.sign(turn)), lean, size, glume_cut, genotype
            )
        if rng.random() < preparation.central_share:
            seat = _seat(view, t + 1.2, azimuth, azimuth, lean * 0.8, 2.6 * size)
            shape = _floret(rng, axis, seat, genotype, size * 0.8, None, turned=False)
            near = bool(np.sin(azimuth) > -0.3)
            plan.florets.append(PlannedFloret(shape, seat.depth - 0.4, t, near, 0.0))
    return plan


def _floret(
    rng: np.random.Generator,
    axis: Axis,
    seat: _Seat,
    genotype: Genotype,
    size: float,
    cut: float | None,
    turned: bool,
) -> FloretShape:
    """Return one floret's shape in the picture."""
    pose = axis.pose(seat.t_mm, seat.s_mm, seat.lean + rng.normal(0, 0.04), seat.toward)
    share = max(seat.length_share, 0.6)
    hull = HullShape(
        length_mm=genotype.floret_mm * size * share * rng.uniform(0.96, 1.04),
        half_width_mm=genotype.width_mm / 2 * size * rng.uniform(0.9, 1.08),
        widest=float(rng.uniform(0.38, 0.48)), foot=float(rng.uniform(0.4, 0.6)),
        taper=float(rng.uniform(1.7, 2.3)),
    )  # fmt: skip
    bend = float(rng.normal(0, 0.006) - 0.008 * np.sign(seat.lean))
    opening = None
    if cut is not None:
        centre = cut * hull.length_mm
        across = float(hull.half_width_at(centre)) * rng.uniform(0.98, 1.1)
        tip = seat.toward + rng.normal(0.16, 0.1)
        along = across * rng.uniform(0.85, 1.0) * float(np.clip(tip, 0.42, 0.95))
        if turned:
            along = -across * float(rng.uniform(0.1, 0.3))
        opening = Opening(
            pose=pose, centre_mm=centre, half_across_mm=across, half_along_mm=along,
            slope=float(rng.normal(0, 0.16)), bend_per_mm=bend, roundness=float(rng.uniform(1.45, 2.1)),
            wobble=draw_wobble(rng),
        )  # fmt: skip
    return FloretShape(pose, hull, bend, opening, float(rng.uniform(0.88, 1.1)))


def _add_glume(
    rng: np.random.Generator,
    plan: SpikePlan,
    view: View,
    place: tuple[float, float, float],
    lean: float,
    size: float,
    cut: float,
    genotype: Genotype,
) -> None:
    """Add the glume on one side of a spikelet."""
    t, azimuth, side = place
    turn = side * np.radians(rng.uniform(62, 84))
    seat = _seat(view, t - 1.5, azimuth + turn, azimuth + turn, lean * 1.05, 2.0 * size)
    pose = plan.axis.pose(seat.t_mm, seat.s_mm, seat.lean + rng.normal(0, 0.05), seat.toward)
    hull = HullShape(
        length_mm=genotype.floret_mm * 0.8 * size * max(seat.length_share, 0.6),
        half_width_mm=genotype.width_mm * 0.5 * size * rng.uniform(0.88, 1.05),
        widest=float(rng.uniform(0.45, 0.6)), foot=0.45, taper=float(rng.uniform(1.8, 2.8)),
    )  # fmt: skip
    shape = FloretShape(
        pose, hull, float(rng.normal(0, 0.008)), None, float(rng.uniform(0.86, 1.04))
    )
    plan.glumes.append(
        PlannedGlume(shape, seat.depth + 0.35, t - 0.4, min(1.0, cut + rng.normal(0, 0.03)))
    )
