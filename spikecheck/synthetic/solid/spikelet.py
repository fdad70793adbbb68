"""One spikelet: two glumes, two outer florets, central florets or the stub they leave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import mixed
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.floret_plans import Stand, central_plan, outer_plan
from spikecheck.synthetic.solid.floret_shape import build_floret
from spikecheck.synthetic.solid.glume_shape import add_glume
from spikecheck.synthetic.solid.mesh import Mesh, bezier, hairs, joined, tube, unit
from spikecheck.synthetic.solid.part import Material, OrganKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.assembly import Assembly
    from spikecheck.synthetic.solid.floret_shape import BuiltFloret
    from spikecheck.synthetic.solid.habit import Habit
    from spikecheck.synthetic.solid.look import PlantLook

_PULLED_OUT = 0.03  # share of outer florets that went with the central ones by mistake


@dataclass(frozen=True, slots=True, eq=False)
class SpikeletSpot:
    """Where a spikelet stands and what was done to it.

    Parameters
    ----------
    base
        Its foot on the rachis, shape (3,), mm.
    rank
        -1 left, 1 right.
    size
        Size as a share of the plant's typical one.
    clipped
        Whether each outer floret, front and back, is cut.
    central
        How many central florets are there.
    """

    base: Floats
    rank: int
    size: float
    clipped: tuple[bool, bool]
    central: int


@dataclass(frozen=True, slots=True, eq=False)
class PlacedFloret:
    """A built floret with where it stands: rank -1 or 1, and whether it turns to the camera."""

    built: BuiltFloret
    rank: int
    front: bool


def build_spikelet(
    spot: SpikeletSpot,
    look: PlantLook,
    habit: Habit,
    *,
    assembly: Assembly,
    rng: np.random.Generator,
    keys: Iterator[int],
) -> list[PlacedFloret]:
    """Add a spikelet to the plant; return its florets."""
    lean = habit.spikelet_lean + rng.normal(0, 0.07)
    stand = Stand(
        base=spot.base,
        up=np.array([spot.rank * np.sin(lean), 0, np.cos(lean)]),
        out=np.array([spot.rank * np.cos(lean), 0, -np.sin(lean)]),
        size=spot.size,
    )
    first = -1 if chance(rng, 0.5) else 1  # the face of the lowest floret
    plans = []
    for face, clipped in zip((-1, 1), spot.clipped, strict=True):
        plan = outer_plan(
            next(keys), stand, look, habit, rng, face=face, lower=face == first, clipped=clipped
        )
        there = not (clipped and chance(rng, _PULLED_OUT))
        add_glume(plan, stand, look, habit, face=face, there=there, assembly=assembly, rng=rng)
        if there:
            plans.append((plan, face))
    for order in range(spot.central):
        face = first if order % 2 == 0 else -first
        plan = central_plan(next(keys), stand, look, habit, rng, face=face, order=order)
        plans.append((plan, face))
    if habit.trimmed and spot.central == 0:
        stub = _torn_stub(stand, look, rng)
        assembly.add(stub, OrganKind.RACHIS, Material.STEM)
    return [
        PlacedFloret(build_floret(plan, look, assembly, rng), spot.rank, front=face < 0)
        for plan, face in plans
    ]


def _torn_stub(stand: Stand, look: PlantLook, rng: np.random.Generator) -> Mesh:
    """Return what is left where the central florets were pulled out: a frayed bit of rachilla."""
    root, up = stand.base + stand.up * 1.2 + stand.out * 0.5, stand.up
    size = rng.uniform(0.6, 2.2)
    path = bezier([root - up, root, root + up * size + rng.normal(0, 0.2, 3)], 6)
    pale = mixed(look.pale, look.papery, rng.uniform(0.2, 0.8))
    body = tube(path, rng.uniform(0.25, 0.45) * np.linspace(1.1, 0.7, 6), pale, sides=8)
    count = int(rng.integers(4, 14))
    roots = np.repeat(path[-1:], count, axis=0) + rng.normal(0, 0.16, (count, 3))
    tips = roots + unit(up + rng.normal(0, 0.5, (count, 3))) * rng.uniform(0.2, 0.9, (count, 1))
    return joined([body, hairs(roots, tips, 0.06, pale)])
