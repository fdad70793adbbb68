"""Draws the shape, stand and cut of each floret of a spikelet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.floret_shape import FloretPlan
from spikecheck.synthetic.solid.hull_shape import HullForm
from spikecheck.synthetic.solid.mesh import frame

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.habit import Habit
    from spikecheck.synthetic.solid.look import PlantLook

BACK = np.array([0, 1.0, 0])  # away from the camera
_LONGEST_MM = 11.0  # of a lemma: 8-11 mm is common practice; upper florets are smaller
_OUTER_CENTRAL = 2  # so many central florets lean to the sides, the others stand upright


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """How a spikelet stands.

    Parameters
    ----------
    base, up, out
        Its foot, mm, the direction along it and the one away from the rachis; shape (3,) each.
    size
        Size as a share of the plant's typical one.
    """

    base: Floats
    up: Floats
    out: Floats
    size: float


def outer_plan(
    key: int,
    stand: Stand,
    look: PlantLook,
    habit: Habit,
    rng: np.random.Generator,
    *,
    face: int,
    lower: bool,
    clipped: bool,
) -> FloretPlan:
    """Return an outer floret; ``face`` is -1 in front and 1 at the back."""
    lean = max(habit.floret_lean + rng.normal(0, 0.09), 0.05)
    turn = habit.turn + rng.normal(0, 0.2)
    root = stand.base + stand.up * (0.6 if lower else 1.5) + stand.out * 0.3 + BACK * face * 0.75
    along = np.cos(lean) * stand.up + np.sin(lean) * face * BACK
    along = along - habit.inward * stand.out + rng.normal(0, 0.05, 3)
    back = np.cos(turn) * face * BACK + np.sin(turn) * stand.out
    gape = habit.draw_gape(rng) if clipped else abs(rng.normal(0, 0.02))
    lemma, palea = _forms(look, habit, rng, size=stand.size, gape=gape)
    return FloretPlan(
        key=key,
        frame=frame(root, along, back),
        lemma=lemma,
        palea=palea,
        cut=habit.draw_cut(rng, lemma.length_mm) if clipped else None,
        awn_mm=_awn_mm(look, habit, rng),
        fine=face < 0,
        palea_there=not clipped or chance(rng, 0.95),
        pistil_there=chance(rng, 0.95),
    )


def central_plan(
    key: int,
    stand: Stand,
    look: PlantLook,
    habit: Habit,
    rng: np.random.Generator,
    *,
    face: int,
    order: int,
) -> FloretPlan:
    """Return a central floret, higher and smaller than the outer ones; never cut."""
    lean = (0.2 if order < _OUTER_CENTRAL else 0.03) + rng.normal(0, 0.06)
    along = np.cos(lean) * stand.up + np.sin(lean) * face * BACK
    along = along + rng.uniform(0.0, 0.3) * stand.out + rng.normal(0, 0.04, 3)
    root = stand.base + stand.up * (2.0 + 1.0 * order) + stand.out * 0.9 + BACK * face * 0.5
    size = stand.size * (0.92 - 0.12 * order) * rng.uniform(0.9, 1.05)
    lemma, palea = _forms(look, habit, rng, size=size, gape=abs(rng.normal(0, 0.02)))
    back = face * BACK + rng.uniform(0.2, 1.0) * stand.out
    awn = _awn_mm(look, habit, rng) * rng.uniform(0.5, 1)
    return FloretPlan(key, frame(root, along, back), lemma, palea, None, awn, fine=face < 0)


def _awn_mm(look: PlantLook, habit: Habit, rng: np.random.Generator) -> float:
    """Whole awns, stubs where scissors have been, short tips on some awnless lines."""
    if look.awned:
        stub = habit.trimmed
        return rng.uniform(1, 14) if stub else look.awn_mm * rng.uniform(0.6, 1.1)
    return rng.uniform(0.3, 2.5) if chance(rng, 0.6) else 0.0


def _forms(
    look: PlantLook, habit: Habit, rng: np.random.Generator, *, size: float, gape: float
) -> tuple[HullForm, HullForm]:
    """Return the shapes of a lemma and of the palea in it."""
    length = look.floret_mm * size * rng.uniform(0.92, 1.08)
    width = look.width_mm * size * rng.uniform(0.88, 1.12)
    depth = 0.36 * width * rng.uniform(0.75, 1.3)
    lemma = HullForm(
        length_mm=min(length, _LONGEST_MM),
        width_mm=width,
        depth_mm=depth,
        wrap=rng.uniform(1.65, 2.25),
        fullest=rng.uniform(0.34, 0.55),
        foot=rng.uniform(0.35, 0.55),
        tip=rng.uniform(0.05, 0.14),
        bow_mm=rng.uniform(0.2, 1.3),
        keel=rng.beta(1.2, 3) * 0.7,
        open_angle=0.35 * gape + rng.normal(0, 0.015),
        curl=habit.curl * rng.beta(0.8, 2.0),
        blunt=rng.uniform(1.3, 2.3),
        dents=0.08 + 0.25 * rng.beta(1, 4),
        nerves=int(rng.choice([5, 7])),
        skew=rng.normal(0, 0.3),
    )
    palea = replace(
        lemma,
        length_mm=lemma.length_mm * rng.uniform(0.9, 0.98),
        width_mm=width * rng.uniform(0.78, 0.94),
        depth_mm=depth * rng.uniform(0.8, 1.1),
        bow_mm=rng.uniform(0.0, 0.5),
        keel=rng.uniform(0.1, 0.7),
        open_angle=0.65 * gape,
    )
    return lemma, palea
