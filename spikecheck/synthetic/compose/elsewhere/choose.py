"""Draws a picture without a close spike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.compose.backgrounds.backdrop import Site
from spikecheck.synthetic.compose.backgrounds.choose import BACKGROUNDS, draw_background
from spikecheck.synthetic.compose.picture import Picture

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.compose.ambience import Ambience
    from spikecheck.synthetic.solid.layers import Layers


@dataclass(frozen=True, slots=True, eq=False)
class Elsewhere:
    """A scene without a close spike, and the family of its background."""

    picture: Picture
    family: str


def draw_elsewhere(
    rng: np.random.Generator, ambience: Ambience, layers: Sequence[Layers]
) -> Elsewhere:
    """Return a scene without a close spike."""
    side = int(rng.integers(1400, 2000))
    shape = (side, round(side * 0.75))
    family = str(rng.choice(list(BACKGROUNDS)))
    backdrop = draw_background(Site(rng, shape, float(rng.uniform(5, 30)), ambience), family)
    return Elsewhere(Picture(backdrop.light, np.zeros(shape, np.uint16), 10.0), family)
