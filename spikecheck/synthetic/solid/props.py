"""What is about the spike: a hand that holds it, forceps, a paper tag, or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.forceps_shape import draw_forceps
from spikecheck.synthetic.solid.hand_shape import draw_hand
from spikecheck.synthetic.solid.part import Organ, OrganKind
from spikecheck.synthetic.solid.tag_shape import draw_tag

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np

    from spikecheck.synthetic.solid.part import Part
    from spikecheck.synthetic.solid.plant import Plant

# Own choice; most photos show the spike alone or a hand at its stem.
FAMILIES: Mapping[str, float] = {
    "none": 0.46, "bare_hand": 0.18, "gloved_hand": 0.14, "tag": 0.12, "forceps": 0.1,
}  # fmt: skip
_POSES: Mapping[str, float] = {"pinch": 0.5, "behind": 0.2, "beside": 0.18, "tip": 0.12}
_ROOM_MM: Mapping[str, float] = {"pinch": 18.0, "behind": 4.0, "beside": 4.0, "tip": 0.0}
_HAND_TOO = 0.3  # share of tags and forceps with a hand as well


@dataclass(frozen=True, slots=True, eq=False)
class Props:
    """What was drawn.

    Parameters
    ----------
    parts, organs
        Meshes in the world and their organs, numbered on from the plant's.
    family
        A name in :data:`FAMILIES`.
    below_mm, above_mm
        How much more than the spike the picture should show.
    """

    parts: tuple[Part, ...]
    organs: tuple[Organ, ...]
    family: str
    below_mm: float
    above_mm: float


def draw_props(plant: Plant, rng: np.random.Generator) -> Props:
    """Draw what is about a plant that stands turned in the world."""
    family = str(rng.choice(list(FAMILIES), p=list(FAMILIES.values())))
    index = max((organ.index for organ in plant.organs), default=0) + 1
    parts: list[Part] = []
    organs: list[Organ] = []
    below = above = 0.0
    if family == "tag":
        parts += draw_tag(plant.axis, rng, organ=index)
        organs.append(Organ(index, OrganKind.TAG))
        below = float(rng.uniform(0, 22))
    elif family == "forceps":
        parts.append(draw_forceps(plant.axis, rng, organ=index))
        organs.append(Organ(index, OrganKind.FORCEPS))
    bare = family == "bare_hand" or (family != "gloved_hand" and chance(rng, 0.55))
    with_hand = family.endswith("hand") or (family != "none" and chance(rng, _HAND_TOO))
    if with_hand:
        pose = str(rng.choice(list(_POSES), p=list(_POSES.values())))
        number = index + len(organs)
        hand = draw_hand(plant.axis, rng, organ=number, pose=pose, in_glove=not bare)
        if hand is not None:
            parts.append(hand)
            organs.append(Organ(number, OrganKind.HAND))
            below = max(below, _ROOM_MM[pose])
            above = 6.0 if pose == "tip" else 0.0
    return Props(tuple(parts), tuple(organs), family, below, above)
