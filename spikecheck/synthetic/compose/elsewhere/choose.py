"""Draws a picture without a close spike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import encoded
from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds.backdrop import Site
from spikecheck.synthetic.compose.backgrounds.choose import BACKGROUNDS, draw_background
from spikecheck.synthetic.compose.cutouts import spike_anchor, spike_sticker
from spikecheck.synthetic.compose.elsewhere import foliage, places, produce
from spikecheck.synthetic.compose.elsewhere.canvas import Canvas
from spikecheck.synthetic.compose.picture import Picture, Spot, Sticker, stick
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from spikecheck.synthetic.arrays import Bytes, Floats
    from spikecheck.synthetic.compose.ambience import Ambience
    from spikecheck.synthetic.solid.layers import Layers

_SCALE = 10.0  # px/mm: nothing is measured in these pictures
_STRANGE_SHARE = 0.12  # with colours nothing has, so that they are known as strange
_FAR_SHARE = 0.35  # of crops from afar that hold rendered spikes too


@dataclass(frozen=True, slots=True, eq=False)
class Elsewhere:
    """A scene without a close spike, and what it shows."""

    picture: Picture
    family: str


# Scenes, how often each comes, and the background each is painted on (None: its own).
_SCENES: dict[str, tuple[Callable[[Canvas], None] | None, float, tuple[str, ...] | None]] = {
    "background": (None, 0.14, tuple(BACKGROUNDS)),
    "grass": (foliage.grass, 0.1, None),
    "canopy": (foliage.canopy, 0.16, None),
    "broad_leaves": (foliage.broad_leaves, 0.07, None),
    "flowers": (foliage.flowers, 0.07, ("field", "glasshouse")),
    "panicles": (foliage.panicles, 0.06, ("field", "glasshouse", "pale_card")),
    "cobs": (produce.cobs, 0.09, ("bench", "dark_card", "pale_card", "field", "hand")),
    "husks": (produce.husks, 0.06, ("bench", "dark_card", "pale_card")),
    "straw": (produce.straw, 0.03, None),
    "hand": (produce.hand, 0.05, tuple(BACKGROUNDS)),
    "board": (places.board, 0.05, ("field", "glasshouse")),
    "room": (places.room, 0.03, None),
    "landscape": (places.landscape, 0.05, None),
    "soil": (places.soil, 0.04, None),
    "plain_colour": (places.plain_colour, 0.02, None),
    "tools": (places.tools, 0.05, ("bench", "dark_card", "pale_card")),
}


def draw_elsewhere(
    rng: np.random.Generator, ambience: Ambience, layers: Sequence[Layers]
) -> Elsewhere:
    """Return a scene without a close spike.

    Parameters
    ----------
    rng
        Random stream.
    ambience
        The light.
    layers
        Rendered spikes that may stand far away, very small; may be empty.
    """
    shape = _shape(rng)
    weights = np.array([scene[1] for scene in _SCENES.values()])
    name = str(rng.choice(list(_SCENES), p=weights / weights.sum()))
    painter, _, grounds = _SCENES[name]
    light, family = _ground(rng, shape, ambience, grounds)
    if painter is not None:
        canvas = Canvas(rng, _bytes(light) if grounds else paint.plain(shape, (60, 70, 50)))
        painter(canvas)
        light = paint.to_light(canvas.painted)
        light = light if grounds else ambience.on(light)
        light = paint.mottled(
            rng, light, float(rng.uniform(0.05, 0.5)) * max(shape), 0.08 if grounds else 0.2, 3
        )
        light = paint.blurred(
            light, float(rng.choice((0.0, 0.7, 1.2, 4.0), p=(0.2, 0.4, 0.3, 0.1)))
        )
    if chance(rng, _STRANGE_SHARE):
        light = _strange(rng, light)
    picture = Picture(light, np.zeros(shape, np.uint16), _SCALE)
    if layers and name in {"canopy", "grass", "landscape"} and chance(rng, _FAR_SHARE):
        _far_spikes(rng, picture, layers[-1])
    return Elsewhere(picture, family or name)


def _shape(rng: np.random.Generator) -> tuple[int, int]:
    long = int(rng.integers(1300, 1900))
    short = round(long * float(rng.choice((0.75, 0.75, 0.5625, 0.667, 1.0))))
    return (long, short) if chance(rng, 0.55) else (short, long)


def _ground(
    rng: np.random.Generator,
    shape: tuple[int, int],
    ambience: Ambience,
    grounds: tuple[str, ...] | None,
) -> tuple[Floats, str]:
    """Return the background a scene is painted on, and its family; empty when it has its own."""
    if grounds is None:
        return np.empty((0, 0, 3), np.float32), ""
    family = str(rng.choice(grounds))
    site = Site(rng, shape, float(rng.uniform(6, 30)), ambience)
    return draw_background(site, family).light, family


def _bytes(light: Floats) -> Bytes:
    return np.ascontiguousarray((encoded(light) * 255 + 0.5).astype(np.uint8))


def _strange(rng: np.random.Generator, light: Floats) -> Floats:
    """Return light with its colours turned, swapped or washed out."""
    choice = rng.random()
    if choice < 0.4:  # noqa: PLR2004  (share)
        return np.ascontiguousarray(light[..., rng.permutation(3)])
    if choice < 0.7:  # noqa: PLR2004
        return np.asarray(light * np.exp(rng.normal(0, 0.6, 3)).astype(np.float32), np.float32)
    grey = light.mean(2, keepdims=True)
    return np.asarray(grey + (light - grey) * np.float32(rng.uniform(0, 0.3)), np.float32)


def _far_spikes(rng: np.random.Generator, picture: Picture, layers: Layers) -> None:
    """Add rendered spikes, several and each no longer than a seventh of the picture."""
    whole = spike_sticker(layers, coarse=4)
    axis = layers.record.axis
    long_px = float(np.hypot(axis[0].row - axis[-1].row, axis[0].column - axis[-1].column)) / 4
    for _ in range(int(rng.integers(3, 16))):
        shown = float(rng.uniform(0.05, 0.14)) * max(picture.shape)
        scale = picture.px_per_mm * long_px / shown
        lit = np.float32(rng.uniform(0.6, 1.3))
        small = Sticker(whole.light * lit, whole.alpha, scale)
        at = rng.uniform(0, 1, 2) * picture.shape[::-1]
        spot = Spot((float(at[0]), float(at[1])), float(rng.normal(0, 0.8)), spike_anchor(layers),
                    flipped=chance(rng, 0.5))  # fmt: skip
        stick(picture, small, spot, None, blur_px=float(rng.uniform(0, 2)))
