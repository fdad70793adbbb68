"""Draws a background of a family."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.synthetic.compose.backgrounds.bench import draw_bench
from spikecheck.synthetic.compose.backgrounds.cards import draw_dark_card, draw_pale_card
from spikecheck.synthetic.compose.backgrounds.field import draw_field
from spikecheck.synthetic.compose.backgrounds.glasshouse import draw_glasshouse
from spikecheck.synthetic.compose.backgrounds.hand import draw_hand

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.synthetic.compose.backgrounds.backdrop import Backdrop, Site

BACKGROUNDS: dict[str, Callable[[Site], Backdrop]] = {
    "field": draw_field,
    "glasshouse": draw_glasshouse,
    "bench": draw_bench,
    "dark_card": draw_dark_card,
    "pale_card": draw_pale_card,
    "hand": draw_hand,
}


def draw_background(site: Site, family: str) -> Backdrop:
    """Return a background of a family (a key of :data:`BACKGROUNDS`)."""
    return BACKGROUNDS[family](site)
