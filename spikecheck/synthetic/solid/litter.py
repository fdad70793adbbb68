"""Puts small things on a plant, where the camera sees them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.mesh import unit
from spikecheck.synthetic.solid.part import Material, OrganKind
from spikecheck.synthetic.solid.small_things import (
    aphid,
    bare_thread,
    drop,
    fibre,
    grains,
    loose_scrap,
    papery_bit,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.solid.assembly import Assembly
    from spikecheck.synthetic.solid.depth_map import DepthMap
    from spikecheck.synthetic.solid.look import PlantLook
    from spikecheck.synthetic.solid.spikelet import PlacedFloret

# How often a plant has any of a thing, and about how many then: own choice.
_DROPS, _FIBRES = (0.14, 30), (0.12, 1)


@dataclass(frozen=True, slots=True)
class _Amounts:
    """The same of what may be taken for an anther; strips and dust as times the usual."""

    aphids: tuple[float, float] = (0.12, 2)
    scraps: tuple[float, float] = (0.2, 1)
    threads: tuple[float, float] = (0.5, 3)
    papery: float = 1.0
    dust: float = 1.0


_USUAL = _Amounts()
_MUCH = _Amounts(aphids=(0.5, 3), scraps=(0.9, 4), threads=(0.7, 4), papery=2.0, dust=3.0)


def add_litter(
    look: PlantLook,
    florets: Sequence[PlacedFloret],
    seen: DepthMap,
    assembly: Assembly,
    rng: np.random.Generator,
    *,
    much: bool = False,
) -> None:
    """Add what has fallen on, grown on or dried on a plant; ``much`` of what looks like anthers."""
    amounts = _MUCH if much else _USUAL
    low = min(float(floret.built.opening[:, 2].min()) for floret in florets) - 6
    high = max(float(floret.built.opening[:, 2].max()) for floret in florets)
    _papery(look, florets, assembly, rng, amounts.papery)
    _threads(florets, assembly, rng, amounts.threads)
    for _ in range(_number(rng, *amounts.scraps)):
        if (spot := seen.surface_point(rng, low, high)) is not None:
            assembly.add(loose_scrap(rng, *spot, look), OrganKind.OTHER, Material.LEAF)
    for _ in range(_number(rng, *_FIBRES)):
        if (spot := seen.surface_point(rng, low, high)) is not None:
            assembly.add(fibre(rng, *spot), OrganKind.OTHER, Material.STEM)
    for _ in range(_number(rng, *amounts.aphids)):
        if (spot := seen.surface_point(rng, low, high)) is not None:
            assembly.add(aphid(rng, *spot), OrganKind.APHID, Material.MATT)
    for _ in range(_number(rng, *_DROPS)):
        if (spot := seen.surface_point(rng, low, high)) is not None:
            assembly.add(drop(rng, *spot), OrganKind.DROP, Material.WATER)
    _dust(amounts.dust * look.dirt, seen, assembly, rng, (low, high))


def _number(rng: np.random.Generator, share: float, typical: float) -> int:
    return 1 + int(rng.poisson(typical)) if chance(rng, share) else 0


def _papery(
    look: PlantLook,
    florets: Sequence[PlacedFloret],
    assembly: Assembly,
    rng: np.random.Generator,
    times: float,
) -> None:
    """Dried strips on rims, more on plants with dry margins."""
    share = min(times * (rng.beta(1, 4) + 0.2 * look.dry), 1.0)
    for floret in florets:
        if not floret.front or not chance(rng, share):
            continue
        rim = floret.built.rim_front
        root = rim[int(rng.integers(len(rim)))]
        out = unit(root - floret.built.opening.mean(axis=0))
        if chance(rng, 0.35):  # torn palea standing in the opening
            root = root - out * rng.uniform(0.8, 2.0) - floret.built.normal * rng.uniform(0, 1.5)
        way = floret.built.normal * rng.uniform(0, 1) + out * rng.uniform(-0.3, 1.2)
        mesh = papery_bit(rng, root, unit(way + rng.normal(0, 0.4, 3)), look)
        assembly.add(mesh, OrganKind.LEMMA, Material.LEAF, floret.built.plan.key)


def _threads(
    florets: Sequence[PlacedFloret],
    assembly: Assembly,
    rng: np.random.Generator,
    number: tuple[float, float],
) -> None:
    """Filaments that lost their anthers, over the rims of clipped florets."""
    cut = [f for f in florets if f.front and f.built.plan.cut is not None]
    for _ in range(_number(rng, *number) if cut else 0):
        built = cut[int(rng.integers(len(cut)))].built
        edge = built.rim_front[int(rng.integers(len(built.rim_front)))]
        start = built.plan.frame.place(np.array([[0, 0.1, 0.8]]))[0]
        outward = unit(edge - built.opening.mean(axis=0))
        mesh = bare_thread(rng, start, edge, outward)
        assembly.add(mesh, OrganKind.FILAMENT, Material.STIGMA, built.plan.key)


def _dust(
    dirt: float,
    seen: DepthMap,
    assembly: Assembly,
    rng: np.random.Generator,
    between: tuple[float, float],
) -> None:
    """Patches of pollen or of soil dust."""
    pollen, soil = linear((236, 220, 140)), linear((150, 128, 96))
    for _ in range(int(rng.poisson(5 * dirt))):
        if (spot := seen.surface_point(rng, *between)) is None:
            continue
        middle, normal = spot
        flat = rng.normal(0, rng.uniform(0.3, 1.6), (int(rng.integers(8, 120)), 3))
        places = seen.settled(middle + flat - (flat @ normal)[:, None] * normal)
        if len(places) > 0:
            colour = pollen if chance(rng, 0.5) else soil
            assembly.add(grains(rng, places, colour), OrganKind.DUST, Material.MATT)
