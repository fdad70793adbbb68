"""Which anthers are left, where they sit and how they lie."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.anther import AntherLook, draw_look
from spikecheck.synthetic.frame import Pose
from spikecheck.synthetic.randomness import chance
from spikecheck.vocabulary import AntherStage

if TYPE_CHECKING:
    from spikecheck.synthetic.genotype import Genotype
    from spikecheck.synthetic.opening import Opening


class Place(StrEnum):
    """Where a leftover anther sits."""

    INSIDE = "inside"
    TIP = "tip"
    OVER_EDGE = "over_edge"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class LeftoverWish:
    """What leftovers an image is to have.

    Parameters
    ----------
    count
        Least and most.
    stages, places
        What they are drawn from.
    broken
        Chance that one is only a piece.
    """

    count: tuple[int, int] = (1, 3)
    stages: tuple[AntherStage, ...] = tuple(AntherStage)
    places: tuple[Place, ...] = (Place.INSIDE, Place.INSIDE, Place.TIP, Place.OVER_EDGE)
    broken: float = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Leftover:
    """One anther to draw.

    Parameters
    ----------
    look
        Its look.
    place
        Where it sits.
    floret
        Index of its floret in the plan; None when it clings elsewhere.
    code
        Its number in the canvas's map of anthers, from 1.
    """

    look: AntherLook
    place: Place
    floret: int | None
    code: int


def choose_leftovers(
    rng: np.random.Generator, wish: LeftoverWish, genotype: Genotype, open_florets: list[int]
) -> list[Leftover]:
    """Return the leftovers of one image; ``open_florets`` are those that can be looked into."""
    chosen: list[Leftover] = []
    count = min(int(rng.integers(wish.count[0], wish.count[1] + 1)), max(1, len(open_florets)))
    florets = rng.permutation(open_florets)[:count]
    for code, floret in enumerate(florets, start=1):
        place = wish.places[int(rng.integers(len(wish.places)))]
        stage = wish.stages[int(rng.integers(len(wish.stages)))]
        look = draw_look(rng, stage, genotype.anther_mm, broken=chance(rng, wish.broken))
        seat = None if place is Place.OUTSIDE else int(floret)
        chosen.append(Leftover(look, place, seat, code))
    return chosen


def pose_in_opening(
    rng: np.random.Generator, leftover: Leftover, opening: Opening, px_per_mm: float
) -> Pose:
    """Return how an anther lies in its floret, in front of the far wall or over the edge."""
    a, b = opening.half_across_mm, opening.half_along_mm
    length = leftover.look.length_mm
    half = leftover.look.width_mm / 2
    free = max(a - half - 0.1, 0.1)
    pose = opening.pose
    if leftover.place is Place.OVER_EDGE:
        side = rng.uniform(-0.7, 0.7) * a
        t = opening.centre_mm - b * float(np.sqrt(1 - (side / a) ** 2)) * rng.uniform(0.5, 0.9)
        s = side + opening.bend_per_mm * t * t
        row, column = pose.place(t, s, px_per_mm)
        turn = np.pi + rng.normal(0, 0.5)
        return Pose(row, column, pose.angle + float(turn), 0.2)
    lean = rng.normal(0, 0.3)
    # The share of its length that stands above the near rim.
    shown = rng.uniform(0.3, 0.5) if leftover.place is Place.TIP else rng.uniform(0.6, 0.95)
    shown = max(shown, min(1.0, 0.75 / length))
    side = rng.uniform(-0.75, 0.75) * free
    rim = opening.centre_mm - b * float(np.sqrt(max(0.0, 1 - (side / a) ** 2)))
    t = rim - (1 - shown) * length * float(np.cos(lean))
    s = side - length * float(np.sin(lean)) * (1 - shown) + opening.bend_per_mm * t * t
    row, column = pose.place(t, s, px_per_mm)
    return Pose(row, column, pose.angle + float(lean), pose.toward * 0.7)
