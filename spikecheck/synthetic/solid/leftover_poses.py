"""Where a leftover anther sits: frames for it, and the thread it hangs on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.mesh import Frame, bezier, frame, unit

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.anther_shape import AntherPlan
    from spikecheck.synthetic.solid.depth_map import DepthMap
    from spikecheck.synthetic.solid.floret_shape import BuiltFloret

_DOWN = np.array([0, 0, -1.0])
_CAMERA = np.array([0, -1.0, 0])

_FITTING_TRIES = 8  # places drawn until an anther does not pierce the hulls

# Share of the anther that is to show, by pose: own choice.
WANTED_SHARE = {
    "deep": (0.03, 0.35),
    "in_cavity": (0.3, 1.0),
    "hanging": (0.5, 1.0),
    "outside": (0.5, 1.0),
}


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """Where an anther is, on the bent plant.

    Parameters
    ----------
    place
        Its frame; its own third axis runs along it.
    thread
        Shape (N, 3): its filament; empty when it was torn off.
    floret
        Key of the floret it belongs to; None when it only clings.
    """

    place: Frame
    thread: Floats
    floret: int | None


def drawn_pose(
    name: str, plan: AntherPlan, floret: BuiltFloret, seen: DepthMap, rng: np.random.Generator
) -> Pose | None:
    """Return a random pose of a kind at a floret, or None if there is no place for it."""
    if name == "outside":
        return _outside(plan, floret, seen, rng)
    if name == "hanging":
        return _hanging(plan, floret, rng)
    return _inside(plan, floret, rng, deep=name == "deep")


def _inside(plan: AntherPlan, floret: BuiltFloret, rng: np.random.Generator, *, deep: bool) -> Pose:
    """In the cavity: upright with its tip at the rim, or lying in the opening."""
    own = floret.plan.frame
    half = plan.piece_mm / 2
    for _ in range(_FITTING_TRIES):
        middle, along = _lying(floret, half, rng, deep=deep)
        if _fits(floret, np.stack([middle - along * half, middle + along * half])):
            break
    back = np.array([rng.normal(0, 0.5), rng.choice([-1, 1]), rng.normal(0, 0.2)])
    local = frame(middle, along, back)
    foot = np.array([0.3 * middle[0], 0.1, 0.6])
    held = middle - along * half * 0.4
    path = bezier(
        [foot, foot + np.array([0, 0, 0.5 * held[2]]), held - 0.3 * along, held],
        10,
    )
    keep = rng.random() < 0.75  # noqa: PLR2004
    return Pose(
        Frame(own.place(local.origin[None])[0], own.turn(local.axes)),
        own.place(path) if keep else np.zeros((0, 3), np.float32),
        floret.plan.key,
    )


def _lying(
    floret: BuiltFloret, half_mm: float, rng: np.random.Generator, *, deep: bool
) -> tuple[Floats, Floats]:
    """Return middle and direction of an anther in the cavity, in the floret's frame."""
    tilt = rng.normal(0, 0.22) if deep else rng.normal(0, 0.8)
    turn = rng.uniform(0, 2 * np.pi)
    along = np.array([np.sin(tilt) * np.cos(turn), np.sin(tilt) * np.sin(turn), np.cos(tilt)])
    x = rng.uniform(-0.3, 0.3) * floret.plan.lemma.width_mm
    y = rng.uniform(-0.45, 0.35) * floret.plan.lemma.width_mm * 0.5
    sunk = rng.uniform(-0.2, 1.8) if deep else rng.uniform(-0.5, 1.1)
    height = floret.rim_height_mm - sunk - half_mm * abs(along[2]) * (1.0 if deep else 0.5)
    return np.array([x, y, max(height, 0.8)]), along


def _fits(floret: BuiltFloret, ends: Floats) -> bool:
    """Return whether the ends of an anther, below the rim, lie between lemma and palea."""
    lemma, palea = floret.plan.lemma, floret.plan.palea
    height = ends[:, 2]
    outer = lemma.depth_mm + height * np.tan(lemma.open_angle)
    inner = -0.45 * palea.depth_mm - height * np.tan(palea.open_angle)
    across = ends[:, 0] / (0.45 * lemma.width_mm)
    deep = (2 * ends[:, 1] - outer - inner) / (0.9 * (outer - inner))
    inside = across**2 + deep**2 <= 1
    return bool((inside | (height > floret.rim_height_mm)).all())


def _hanging(plan: AntherPlan, floret: BuiltFloret, rng: np.random.Generator) -> Pose:
    """Over the edge on its thread."""
    own = floret.plan.frame
    rim = floret.rim_front
    edge = rim[int(rng.uniform(0.15, 0.85) * (len(rim) - 1))]
    outward = unit(own.axes[1] + 0.5 * unit(edge - floret.opening.mean(axis=0)) + 0.4 * _CAMERA)
    up = own.axes[2]
    drop = rng.uniform(0.2, 4.5) * (1 if rng.random() < 0.7 else 0.3)  # noqa: PLR2004
    held = edge + outward * rng.uniform(0.25, 1.0) + _DOWN * drop + rng.normal(0, 0.25, 3)
    start = own.place(np.array([[0, 0.1, 0.8]]))[0]
    arch = rng.uniform(0.3, 1.6)
    path = bezier(
        [start, edge + up * arch - outward * 0.3, edge + up * arch + outward * 0.7, held], 18
    )
    swing = unit(_DOWN * rng.uniform(0.3, 1.5) + rng.normal(0, 0.45, 3))
    place = frame(held + swing * plan.piece_mm * 0.18, swing, _CAMERA + rng.normal(0, 0.7, 3))
    return Pose(place, path, floret.plan.key)


def _outside(
    plan: AntherPlan, floret: BuiltFloret, seen: DepthMap, rng: np.random.Generator
) -> Pose | None:
    """Stuck on whatever is nearest the camera around a floret."""
    height = float(floret.plan.frame.origin[2])
    found = seen.surface_point(rng, height - 4, height + 9)
    if found is None:
        return None
    point, normal = found
    along = unit(np.cross(normal, rng.normal(0, 1, 3)) + 0.12 * rng.normal(0, 1, 3))
    back = normal * rng.choice([-1, 1]) + rng.normal(0, 0.4, 3)
    thread = np.zeros((0, 3), np.float32)
    if rng.random() < 0.35:  # noqa: PLR2004
        tail = point + normal * 0.15
        away = unit(np.cross(normal, rng.normal(0, 1, 3)))
        side = unit(np.cross(normal, away))
        size = rng.uniform(1, 4)
        thread = bezier(
            [tail, tail + away * size * 0.5, tail + away * size + side * size * 0.4], 10
        )
    return Pose(frame(point + normal * 0.28 * plan.width_mm, along, back), thread, None)
