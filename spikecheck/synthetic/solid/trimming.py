"""Cuts spikelets away whose cut floret hides behind its neighbours, as a technician does.

A technician keeps the spikelets that can be worked on and seen, and so do most drawn plants; the
others keep florets that nobody can look into, which is what a photo of them has to be told for.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.synthetic.solid.part import Part
    from spikecheck.synthetic.solid.plant import Plant, SolidFloret

_PX_PER_MM = 6.0
_LEAST_SEEN = 0.66
"""Share of an opening that has to be in view: above what a photo needs (half of it, in
`thresholds/assessment.toml`), since this map is coarse."""
_LEAST_KEPT = 9  # front florets; one more than a photo of a prepared spike has to show
_ROUNDS = 4


def trimmed_for_view(plant: Plant) -> Plant:
    """Return the plant without the spikelets whose front floret is hidden.

    Parameters
    ----------
    plant
        A prepared plant as it stands before the camera, which looks along +y.

    Returns
    -------
    Plant
        With nine front florets or more left, if it had as many.
    """
    for _ in range(_ROUNDS):
        seen = _openings_seen(plant)
        front = len(seen)
        hidden = sorted((share, key) for key, share in seen.items() if share < _LEAST_SEEN)
        away = [key for _, key in hidden[: max(0, front - _LEAST_KEPT)]][: 1 + len(hidden) // 2]
        if not away:
            return plant
        plant = _without(plant, away)
    return plant


def _openings_seen(plant: Plant) -> dict[int, float]:
    """Return for each cut front floret the share of its opening that shows its own inside."""
    owner, corner = _owner_map(plant.parts)
    keys = {organ.index: organ.floret for organ in plant.organs}
    shares = {}
    for floret in plant.florets:
        if floret.facing != "front" or not floret.clipped:
            continue
        own = [index for index, key in keys.items() if key == str(floret.key)]
        mask = np.zeros(owner.shape, np.uint8)
        corners = (floret.opening[:, [0, 2]] - corner) * _PX_PER_MM
        cv2.fillPoly(mask, [np.round(corners).astype(np.int32)], 1)
        inside = owner[mask > 0]
        inside = inside[inside > 0]  # holes between splats say nothing
        turned_away = floret.normal[1] >= 0
        shares[floret.key] = (
            0.0 if turned_away or not inside.size else float(np.isin(inside, own).mean())
        )
    return shares


def _owner_map(parts: Sequence[Part]) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    """Return the organ nearest to the camera at each cell, 0 for none, and x, z of the corner."""
    points = np.concatenate(
        [np.concatenate([p.vertices, p.vertices[p.faces].mean(axis=1)]) for p in parts]
    ).astype(np.float32)
    organs = np.concatenate(
        [np.full(len(p.vertices) + len(p.faces), p.organ, np.int64) for p in parts]
    )
    corner = points[:, [0, 2]].min(axis=0) - 1
    cells = np.rint((points[:, [0, 2]] - corner) * _PX_PER_MM).astype(np.int64)
    owner = np.zeros((int(cells[:, 1].max()) + 2, int(cells[:, 0].max()) + 2), np.int64)
    far_to_near = np.argsort(-points[:, 1], kind="stable")
    owner[cells[far_to_near, 1], cells[far_to_near, 0]] = organs[far_to_near]
    return owner, corner


def _without(plant: Plant, keys: Sequence[int]) -> Plant:
    """Return the plant without the spikelets that these front florets belong to."""
    gone = {str(key) for key in keys}
    for key in keys:
        front = next(floret for floret in plant.florets if floret.key == key)
        gone |= {str(other.key) for other in plant.florets if _same_spikelet(front, other)}
    lost = {organ.index for organ in plant.organs if organ.floret in gone}
    return replace(
        plant,
        parts=tuple(part for part in plant.parts if part.organ not in lost),
        organs=tuple(organ for organ in plant.organs if organ.index not in lost),
        florets=tuple(floret for floret in plant.florets if str(floret.key) not in gone),
    )


def _same_spikelet(one: SolidFloret, other: SolidFloret) -> bool:
    """Whether two florets sit at the same node: nodes of a rank are two internodes apart."""
    return one.rank is other.rank and abs(one.position - other.position) < 0.02  # noqa: PLR2004
