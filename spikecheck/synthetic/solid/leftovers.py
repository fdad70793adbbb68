"""Leaves anthers on a plant: how many, which, where; looked at from the front until they show."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.anther_shape import anther_mesh, draw_anther
from spikecheck.synthetic.solid.leftover_poses import WANTED_SHARE, drawn_pose
from spikecheck.synthetic.solid.mesh import Frame, Mesh, tube
from spikecheck.synthetic.solid.part import Material, OrganKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.solid.anther_shape import AntherPlan
    from spikecheck.synthetic.solid.assembly import Assembly
    from spikecheck.synthetic.solid.depth_map import DepthMap
    from spikecheck.synthetic.solid.leftover_poses import Pose
    from spikecheck.synthetic.solid.look import PlantLook
    from spikecheck.synthetic.solid.spikelet import PlacedFloret
    from spikecheck.synthetic.solid.wish import PlantWish

_TRIES = 14  # poses looked at for one anther
_POSES = ("deep", "in_cavity", "hanging", "outside")


def leftover_count(wish: PlantWish, rng: np.random.Generator) -> int:
    """Return how many anthers there are: mostly 1 or 2 leftovers, 5-40 out at anthesis."""
    if wish.leftovers is not None:
        return wish.leftovers
    if wish.state == "anthesis":
        return int(rng.integers(5, 41))
    if wish.state == "heading" or wish.pose_family == "none":
        return 0
    return int(rng.choice([1, 2, 3, 4, 5, 6], p=[0.42, 0.27, 0.13, 0.09, 0.05, 0.04]))


def add_leftovers(
    wish: PlantWish,
    look: PlantLook,
    florets: Sequence[PlacedFloret],
    *,
    seen: DepthMap,
    assembly: Assembly,
    rng: np.random.Generator,
) -> None:
    """Add the anthers of a plant, most of them where some of them shows."""
    shares = _stage_shares(wish, rng)
    floret = None
    for _ in range(leftover_count(wish, rng)):
        name, broken = _pose_name(wish, rng)
        plan = draw_anther(rng, look, shares, broken=broken)
        if floret is None or not chance(rng, 0.25):  # else two of one floret
            floret = _chosen(florets, name, wish, rng)
        mesh = anther_mesh(plan, rng)
        pose = _best_pose(
            name, plan, mesh, floret=floret, florets=florets, wish=wish, seen=seen, rng=rng
        )
        if pose is not None:
            _add(plan, mesh, pose, assembly, rng)


def _stage_shares(wish: PlantWish, rng: np.random.Generator) -> tuple[float, float, float, float]:
    """Return how likely each stage is on this plant: anthers of a spike are about equally ripe."""
    typical = (0.05, 0.1, 0.75, 1.1) if wish.state == "anthesis" else (1.0, 0.6, 0.65, 0.4)
    drawn = rng.dirichlet(np.array(typical) * 1.3)
    return (float(drawn[0]), float(drawn[1]), float(drawn[2]), float(drawn[3]))


def _pose_name(wish: PlantWish, rng: np.random.Generator) -> tuple[str, bool]:
    """Return the pose, and whether it is a torn piece."""
    if wish.state == "anthesis":
        return ("hanging" if chance(rng, 0.88) else "outside"), chance(rng, 0.04)
    if wish.pose_family in ("broken", "none"):
        name = str(rng.choice(_POSES, p=[0.2, 0.35, 0.2, 0.25]))
        return name, wish.pose_family == "broken" or chance(rng, 0.15)
    return wish.pose_family, False


def _chosen(
    florets: Sequence[PlacedFloret], name: str, wish: PlantWish, rng: np.random.Generator
) -> PlacedFloret:
    """Return a floret, mostly a clipped one that turns to the camera."""
    weights = np.array([1.0 if f.front else 0.06 for f in florets])
    if wish.trimmed and name != "outside":
        weights = weights * [1.0 if f.built.plan.cut is not None else 1e-3 for f in florets]
    if wish.state == "anthesis":
        weights = np.array([1.0 if f.front else 0.45 for f in florets])
    return florets[int(rng.choice(len(florets), p=weights / weights.sum()))]


def _best_pose(
    name: str,
    plan: AntherPlan,
    mesh: Mesh,
    *,
    floret: PlacedFloret,
    florets: Sequence[PlacedFloret],
    wish: PlantWish,
    seen: DepthMap,
    rng: np.random.Generator,
) -> Pose | None:
    """Return the first pose that shows as much as wanted, else the one that comes nearest."""
    low, high = WANTED_SHARE[name]
    best: tuple[float, Pose] | None = None
    for attempt in range(_TRIES):
        if attempt and attempt % 4 == 0:
            floret = _chosen(florets, name, wish, rng)
        pose = drawn_pose(name, plan, floret.built, seen, rng)
        if pose is None:
            continue
        if name == "hanging":
            pose = _pulled_out(pose, mesh, seen)
        share = seen.visible_share(pose.place.place(mesh.vertices))
        away = max(low - share, share - high, 0.0)
        if best is None or away < best[0]:
            best = (away, pose)
        if away == 0:
            break
    return None if best is None else best[1]


def _pulled_out(pose: Pose, mesh: Mesh, seen: DepthMap) -> Pose:
    """Return a hanging anther moved to the camera until it hangs before what it would cut."""
    points = pose.place.place(mesh.vertices)
    behind = points[:, 1] - seen.at(points)
    sunk = float(np.quantile(behind, 0.85))
    if not 0 < sunk < 4:  # noqa: PLR2004  (mm: further back it hangs behind the spike)
        return pose
    shift = np.array([0, -sunk, 0], np.float32)
    thread = pose.thread + np.linspace(0, 1, len(pose.thread))[:, None] ** 2 * shift
    place = Frame(pose.place.origin + shift, pose.place.axes)
    return type(pose)(place, thread.astype(np.float32), pose.floret)


def _add(
    plan: AntherPlan, mesh: Mesh, pose: Pose, assembly: Assembly, rng: np.random.Generator
) -> None:
    placed = Mesh(pose.place.place(mesh.vertices), mesh.faces, mesh.colours)
    assembly.add_anther(
        placed,
        pose.floret,
        stage=plan.stage,
        near_anthesis=plan.near_anthesis,
        broken=plan.broken,
        length_mm=round(plan.piece_mm, 3),
        colour_name=plan.colour_name,
    )
    if len(pose.thread) > 0:
        colour = jittered(rng, (228, 232, 208), 8)
        thread = tube(pose.thread, rng.uniform(0.045, 0.08), colour, sides=6)
        assembly.add(thread, OrganKind.FILAMENT, Material.STIGMA, pose.floret)
