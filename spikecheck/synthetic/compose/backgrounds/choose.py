"""Draws a background of a family."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.compose.backgrounds.backdrop import Backdrop
from spikecheck.synthetic.compose.backgrounds.bench import draw_bench
from spikecheck.synthetic.compose.backgrounds.cards import draw_dark_card, draw_pale_card
from spikecheck.synthetic.compose.backgrounds.field import draw_field
from spikecheck.synthetic.compose.backgrounds.glasshouse import draw_glasshouse
from spikecheck.synthetic.compose.backgrounds.hand import draw_hand

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.synthetic.compose.backgrounds.backdrop import Site

BACKGROUNDS: dict[str, Callable[[Site], Backdrop]] = {
    "field": draw_field,
    "glasshouse": draw_glasshouse,
    "bench": draw_bench,
    "dark_card": draw_dark_card,
    "pale_card": draw_pale_card,
    "hand": draw_hand,
}


GREY = "grey"
_MIDDLE_GREY = 0.2  # reflectance, as of the spike


def grey_ground(site: Site) -> Backdrop:
    """Return even grey, for spikes shown without a scene."""
    grey = np.full((*site.shape, 3), _MIDDLE_GREY, np.float32)
    return Backdrop(site.ambience.on(grey), None)


def draw_background(site: Site, family: str) -> Backdrop:
    """Return a background of a family (a key of :data:`BACKGROUNDS`)."""
    return BACKGROUNDS[family](site)
