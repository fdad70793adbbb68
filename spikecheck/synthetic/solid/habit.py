"""How one plant holds its spikelets and how it was cut: alike within a spike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.hull_shape import Cut

if TYPE_CHECKING:
    from spikecheck.synthetic.solid.wish import PlantWish


@dataclass(frozen=True, slots=True)
class Habit:
    """Angles in radians, what varies about them within the plant is drawn per floret.

    Parameters
    ----------
    trimmed
        Whether scissors have been at it.
    spikelet_lean, floret_lean
        How far spikelets stand off the rachis, and outer florets off their spikelet's middle.
    inward
        How far outer florets lean back over the rachis.
    turn, glume_turn
        How far the backs of florets and glumes look outwards rather than to the front.
    gape, cut_share, cut_slope, ragged_mm
        Of clipped florets: how far lemma and palea stand apart, where the cut is as a share of
        the length, how much lower it is at the lemma's back, how uneven it is.
    glume_share, glume_clip
        Length of glumes as a share of the lemma; how likely they are cut along.
    beak_mm
        Greatest length of the points of glumes.
    curl
        How much dried margins roll, 0..1.
    """

    trimmed: bool
    spikelet_lean: float
    floret_lean: float
    inward: float
    turn: float
    glume_turn: float
    gape: float
    cut_share: float
    cut_slope: float
    ragged_mm: float
    glume_share: float
    glume_clip: float
    beak_mm: float
    curl: float

    def draw_gape(self, rng: np.random.Generator) -> float:
        """Return how far one clipped floret stands open."""
        return float(np.clip(self.gape * rng.uniform(0.5, 1.6) + rng.normal(0, 0.03), 0, 0.5))

    def draw_cut(self, rng: np.random.Generator, length_mm: float) -> Cut:
        """Return the cut through one floret, in its frame."""
        share = float(np.clip(self.cut_share + rng.normal(0, 0.05), 0.42, 0.85))
        slope = self.cut_slope + rng.normal(0, 0.18)
        normal = np.array([rng.normal(0, 0.18), slope, 1.0])
        point = np.array([0, 0, share * length_mm])
        ragged = self.ragged_mm * rng.uniform(0.3, 2.0)
        return Cut(point, normal / np.linalg.norm(normal), ragged)


def draw_habit(wish: PlantWish, rng: np.random.Generator) -> Habit:
    """Return the habit of a plant.

    The top third of the florets goes when clipping (U. Tennessee thesis 7752); prying forceps
    leave them standing apart. Angles are read by eye off photos of spikes: own choice.
    """
    trimmed = wish.trimmed
    spikelet_lean = rng.uniform(0.16, 0.42) if trimmed else rng.uniform(0.24, 0.55)
    return Habit(
        trimmed=trimmed,
        spikelet_lean=spikelet_lean,
        floret_lean=rng.uniform(0.26, 0.58) if trimmed else rng.uniform(0.2, 0.5),
        inward=spikelet_lean * (rng.uniform(0.0, 0.4) if trimmed else rng.uniform(0.3, 0.9)),
        turn=rng.uniform(0.05, 0.55),
        glume_turn=rng.uniform(0.6, 1.1),
        gape=rng.uniform(0.06, 0.34),
        cut_share=rng.uniform(0.48, 0.72),
        cut_slope=rng.uniform(-0.1, 0.9),
        ragged_mm=0.28 * rng.beta(1.1, 2.5),
        glume_share=rng.uniform(0.68, 0.9),
        glume_clip=rng.uniform(0.3, 1.0),
        beak_mm=rng.uniform(0.5, 4.0),
        curl=rng.beta(1, 2.5),
    )
