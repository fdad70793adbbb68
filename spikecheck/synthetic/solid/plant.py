"""A whole plant: rachis, spikelets, leftovers and what lies on them, as parts with their truth."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import count
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.assembly import Assembly
from spikecheck.synthetic.solid.bending import draw_bending
from spikecheck.synthetic.solid.depth_map import depth_map
from spikecheck.synthetic.solid.habit import draw_habit
from spikecheck.synthetic.solid.leftovers import add_leftovers
from spikecheck.synthetic.solid.litter import add_litter
from spikecheck.synthetic.solid.look import draw_look
from spikecheck.synthetic.solid.mesh import unit
from spikecheck.synthetic.solid.part import Material, OrganKind
from spikecheck.synthetic.solid.rachis_shape import flag_leaf, node_places, peduncle, rachis, stump
from spikecheck.synthetic.solid.spikelet import SpikeletSpot, build_spikelet
from spikecheck.synthetic.solid.wish import PlantWish
from spikecheck.vocabulary import Side

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.bending import Bending
    from spikecheck.synthetic.solid.habit import Habit
    from spikecheck.synthetic.solid.look import PlantLook
    from spikecheck.synthetic.solid.part import Organ, Part
    from spikecheck.synthetic.solid.spikelet import PlacedFloret

_CROWDED = 0.84  # internodes of whole spikes: trimming spares the long middle ones (own choice)
_MOST_KEPT = 16  # spikelets of a prepared spike: 10-16 is common practice

__all__ = ["Plant", "PlantWish", "SolidFloret", "draw_plant"]


@dataclass(frozen=True, slots=True, eq=False)
class SolidFloret:
    """A floret as the truth tells it.

    Parameters
    ----------
    key
        Its number on the plant; organs name it as text.
    rank
        Side of the axis, seen from the camera.
    position
        Place along the spike, 0 at the base and 1 at the tip.
    clipped
        Whether its top is cut.
    opening
        Shape (N, 3), mm: closed rim of the cut opening; of a whole floret, where it would be.
    normal
        Shape (3,): out of the opening.
    facing
        ``"front"``: turned to the camera, or ``"back"``.
    organs
        Indices of its organs.
    """

    key: int
    rank: Side
    position: float
    clipped: bool
    opening: Floats
    normal: Floats
    facing: str
    organs: tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Plant:
    """A plant ready to be rendered.

    Parameters
    ----------
    parts, organs
        Meshes, and the organs they name.
    florets
        From base to tip.
    axis
        Shape (M, 3), mm, base to tip.
    families
        ``plant`` and ``pose``.
    """

    parts: tuple[Part, ...]
    organs: tuple[Organ, ...]
    florets: tuple[SolidFloret, ...]
    axis: Floats
    families: dict[str, str]


def draw_plant(wish: PlantWish, rng: np.random.Generator) -> Plant:
    """Return a plant as wished for; the same random stream gives the same plant."""
    look, habit = draw_look(wish.plant_family, rng), draw_habit(wish, rng)
    assembly = Assembly()
    nodes, ranks = node_places(
        rng, _spikelet_count(wish, rng), look.internode_mm * (1.0 if wish.trimmed else _CROWDED)
    )
    florets, kept = _add_spikelets(
        wish, look, habit, assembly=assembly, rng=rng, rachis_nodes=(nodes, ranks)
    )
    _add_stem(nodes[: kept[-1] + 1], look, wish, assembly, rng)
    bending = draw_bending(rng, float(nodes[kept[-1], 2]))
    assembly.bend(bending)
    florets = [_bent(floret, bending) for floret in florets]
    seen = depth_map(assembly.parts)
    add_leftovers(wish, look, florets, seen=seen, assembly=assembly, rng=rng)
    add_litter(look, florets, seen, assembly, rng, much=wish.littered)
    base, tip = float(nodes[kept[0], 2]), float(nodes[kept[-1], 2]) + 0.7 * look.floret_mm
    line = np.zeros((40, 3), np.float32)
    line[:, 2] = np.linspace(base, tip, 40)
    return Plant(
        parts=tuple(assembly.parts),
        organs=tuple(assembly.organs),
        florets=tuple(_solid(floret, (base, tip)) for floret in florets),
        axis=bending.bend(line),
        families={"plant": wish.plant_family, "pose": wish.pose_family},
    )


def _spikelet_count(wish: PlantWish, rng: np.random.Generator) -> int:
    """18-24 spikelets on a whole spike; 10-16 kept and 1-3 cut at either end of a prepared one."""
    return int(rng.integers(14, 21) if wish.trimmed else rng.integers(18, 25))


def _add_spikelets(
    wish: PlantWish,
    look: PlantLook,
    habit: Habit,
    *,
    assembly: Assembly,
    rng: np.random.Generator,
    rachis_nodes: tuple[Floats, Floats],
) -> tuple[list[PlacedFloret], list[int]]:
    """Add the spikelets that were kept and the stumps of the others."""
    nodes, ranks = rachis_nodes
    total = len(nodes)
    low = int(rng.integers(1, 4)) if wish.trimmed else 0
    high = total - (int(rng.integers(0, 2)) if wish.trimmed else 0)
    kept = list(range(low, high))[: _MOST_KEPT if wish.trimmed else total]
    keys, florets = count(1), []
    for node in range(low):
        mesh = stump(rng, nodes[node], int(ranks[node]), look)
        assembly.add(mesh, OrganKind.RACHIS, Material.STEM)
    for order, node in enumerate(kept):
        share = order / max(len(kept) - 1, 1)
        spot = SpikeletSpot(
            base=nodes[node] + np.array([0.45 * ranks[node], 0, 0]),
            rank=int(ranks[node]),
            size=_size_at(share, wish, rng),
            clipped=(_is_clipped(wish, rng), _is_clipped(wish, rng)),
            central=_central_count(wish, rng),
        )
        florets.extend(build_spikelet(spot, look, habit, assembly=assembly, rng=rng, keys=keys))
    return florets, kept


def _size_at(share: float, wish: PlantWish, rng: np.random.Generator) -> float:
    """Spikelets are smaller towards both ends of a whole spike."""
    ends = 0.0 if wish.trimmed else 0.35 * max(0.0, abs(share - 0.45) * 2 - 0.55)
    return float((1 - ends) * rng.uniform(0.93, 1.06))


def _is_clipped(wish: PlantWish, rng: np.random.Generator) -> bool:
    return wish.trimmed and not (wish.state == "partly" and chance(rng, 0.25))


def _central_count(wish: PlantWish, rng: np.random.Generator) -> int:
    if not wish.trimmed:
        return int(rng.integers(2, 4))
    return 1 if wish.state == "partly" and chance(rng, 0.3) else 0


def _add_stem(
    nodes: Floats, look: PlantLook, wish: PlantWish, assembly: Assembly, rng: np.random.Generator
) -> None:
    top = rng.uniform(0.5, 3.0) if wish.trimmed else 0.8
    assembly.add(rachis(rng, nodes, top, look), OrganKind.RACHIS, Material.STEM)
    stem = peduncle(rng, nodes[0], rng.uniform(24, 45), look)
    assembly.add(stem, OrganKind.PEDUNCLE, Material.STEM)
    if chance(rng, 0.2):
        foot = nodes[0] - np.array([0, 0, rng.uniform(8, 22)])
        assembly.add(flag_leaf(rng, foot, look), OrganKind.FLAG_LEAF, Material.LEAF)


def _bent(floret: PlacedFloret, bending: Bending) -> PlacedFloret:
    """Return a floret as it stands on the bent spike."""
    built = floret.built
    middle = built.opening.mean(axis=0)
    step = bending.bend(np.stack([middle, middle + 0.2 * built.normal]))
    return replace(
        floret,
        built=replace(
            built,
            plan=replace(built.plan, frame=bending.bend_frame(built.plan.frame)),
            opening=bending.bend(built.opening),
            rim_front=bending.bend(built.rim_front),
            normal=unit(step[1] - step[0]),
        ),
    )


def _solid(floret: PlacedFloret, ends: tuple[float, float]) -> SolidFloret:
    built = floret.built
    height = float(built.plan.frame.origin[2])
    return SolidFloret(
        key=built.plan.key,
        rank=Side.LEFT if floret.rank < 0 else Side.RIGHT,
        position=float(np.clip((height - ends[0]) / (ends[1] - ends[0]), 0, 1)),
        clipped=built.plan.cut is not None,
        opening=built.opening,
        normal=built.normal,
        facing="front" if floret.front else "back",
        organs=built.organs,
    )
