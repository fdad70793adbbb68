"""What is about the spike: a hand that holds it, forceps, a paper tag, or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.solid.part import Organ, Part
    from spikecheck.synthetic.solid.plant import Plant


@dataclass(frozen=True, slots=True, eq=False)
class Props:
    """What was drawn.

    Parameters
    ----------
    parts, organs
        Meshes in the world and their organs, numbered on from the plant's.
    family
        ``none``, ``hand``, ``forceps`` or ``tag``; the first that applies.
    """

    parts: tuple[Part, ...]
    organs: tuple[Organ, ...]
    family: str


def draw_props(plant: Plant, rng: np.random.Generator) -> Props:
    """Draw what is about a plant that stands turned in the world."""
    return Props((), (), "none")
