"""The lamps and skies of each family of light, painted over the upper half of the surroundings."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid import sky
from spikecheck.synthetic.solid.blackbody import white_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.synthetic.arrays import Floats

    Painter = Callable[[np.random.Generator], Floats]

FAMILIES = ("overcast", "sun", "led", "warm", "shade")

# Radiances are relative within a family; colour temperatures are common practice in lighting:
# overcast 6000-7500 K, clear sky 9000-16000 K, sun 4300-5600 K by height, LED 3500-6500 K,
# warm lamps 2600-3400 K.


def _overcast(rng: np.random.Generator) -> Floats:
    """Cloud: three times as bright overhead as at the horizon (CIE standard overcast sky)."""
    up = np.clip(sky.directions()[..., 2], 0, 1)
    cover = (1 + 2 * up) / 3
    cover = cover * np.exp(rng.uniform(0.05, 0.35) * sky.patches(rng, rng.uniform(40, 90)))
    bright = sky.disc(sky.toward(rng.uniform(0, 360), rng.uniform(25, 70)), 12, 60)
    cover = cover * (1 + rng.uniform(0, 2.5) * bright**2)  # where the sun stands behind it
    return _coloured(cover, white_of(rng.uniform(5800, 7500)))


def _clear_sky(rng: np.random.Generator, sun: Floats) -> Floats:
    """Blue sky: paler and brighter towards the horizon and around the sun."""
    up = np.clip(sky.directions()[..., 2], 0, 1)
    near = np.clip(sky.directions() @ sun, 0, 1)
    bright = 0.45 + 0.55 * (1 - up) ** 3 + rng.uniform(0.5, 1.6) * near**12
    paleness = np.clip((1 - up) ** 3 + near**6, 0, 1)[..., None]
    blue, pale = white_of(rng.uniform(9500, 16000)), white_of(rng.uniform(6000, 7000))
    colour = blue * (1 - paleness) + pale * paleness
    cloud = np.clip(sky.patches(rng, rng.uniform(30, 70)) - rng.uniform(0.2, 1.8), 0, 1)[..., None]
    return np.asarray(
        bright[..., None] * (colour * (1 - cloud) + 2.2 * white_of(6000.0) * cloud), np.float32
    )


def _sun(rng: np.random.Generator) -> Floats:
    """Sun in a clear sky; it gives two to eight times the light of the sky on a level surface."""
    height = float(rng.uniform(18, 72))
    where = sky.toward(float(rng.uniform(0, 360)), height)
    clear = _clear_sky(rng, where)
    level = np.clip(sky.directions()[..., 2], 0, None) * sky.solid_angles()
    of_sky = float((clear[..., 1] * level).sum())
    disc = sky.disc(where, rng.uniform(0.6, 2.2), 0.6)  # haze widens the half degree of the sun
    of_disc = float((disc * level).sum())
    ratio = float(np.exp(rng.uniform(np.log(2.0), np.log(8.0))))
    colour = white_of(3900 + 1500 * (height / 72) + rng.uniform(-200, 200))
    return clear + _coloured(disc * (ratio * of_sky / of_disc), colour)


def _shade(rng: np.random.Generator) -> Floats:
    """Open shade: part of a clear sky, the rest hidden by what casts the shade."""
    clear = _clear_sky(rng, sky.toward(rng.uniform(0, 360), rng.uniform(5, 30)))
    side = sky.toward(rng.uniform(0, 360), rng.uniform(0, 50))
    hidden = np.clip((sky.directions() @ side + rng.uniform(-0.5, 0.4)) / 0.3 + 0.5, 0, 1)[
        ..., None
    ]
    wall = np.array([0.16, 0.18, 0.1]) * np.exp(rng.normal(0, 0.25, 3)) * rng.uniform(0.4, 1.3)
    gaps = np.clip(sky.patches(rng, rng.uniform(9, 25)) - rng.uniform(0.9, 2.2), 0, 1)[..., None]
    wall = wall + gaps * white_of(5200.0) * rng.uniform(0, 3)  # light through a crown or a fence
    return np.asarray(clear * (1 - hidden) + wall * hidden, np.float32)


def _led(rng: np.random.Generator) -> Floats:
    """Rows of lamps overhead in a dim room or glasshouse; at times a lamp beside the camera."""
    tint = white_of(rng.uniform(3600, 6500)) * np.exp(np.array([0.06, -0.06, 0.04]) * rng.normal())
    if chance(rng, 0.15):  # grow lamps: red and blue stronger than a white of theirs
        tint = tint * np.array([1.25, 0.85, 1.2])
    lamps = np.zeros((sky.HEIGHT, sky.WIDTH), np.float32)
    turn, first = rng.uniform(-30, 30), rng.uniform(-0.4, 0.4)
    for row in range(int(rng.integers(1, 5))):
        middle = np.array([first + 0.8 * (row - 1), rng.uniform(-0.7, 0.3), 1.0])
        middle /= np.linalg.norm(middle)
        half = (rng.uniform(0.05, 0.2), rng.uniform(0.3, 1.2))
        lamps = np.maximum(lamps, sky.panel(middle.astype(np.float32), half, turn))
    if chance(rng, 0.3):  # ring or torch of the phone
        lamps += rng.uniform(0.5, 2) * sky.disc(
            sky.toward(rng.uniform(-25, 25), rng.uniform(-5, 25)), rng.uniform(4, 12), 2
        )
    room = rng.uniform(0.3, 1.2) * (1 + 0.3 * sky.patches(rng, 60))
    room = np.clip(room, 0.05, None) * (0.6 + 0.4 * sky.directions()[..., 2])
    return _coloured(lamps * rng.uniform(15, 50), tint) + _coloured(
        np.clip(room, 0.05, None), white_of(rng.uniform(4500, 6500))
    )


def _warm(rng: np.random.Generator) -> Floats:
    """Lamps of a room, or the low sun of an evening."""
    tint = white_of(rng.uniform(2600, 3400))
    lamps = np.zeros((sky.HEIGHT, sky.WIDTH), np.float32)
    for _ in range(int(rng.integers(1, 4))):
        where = sky.toward(rng.uniform(-140, 140), rng.uniform(8, 75))
        if chance(rng, 0.5):
            half = (rng.uniform(0.1, 0.5), rng.uniform(0.1, 0.5))
            lamps += rng.uniform(5, 15) * sky.panel(where, half, rng.uniform(0, 90))
        else:
            lamps += rng.uniform(20, 80) * sky.disc(where, rng.uniform(2, 7), 1.5)
    room = np.clip(rng.uniform(0.4, 1.3) * (1 + 0.35 * sky.patches(rng, 70)), 0.05, None)
    wall = tint * np.array([1.0, 0.97, 0.9]) * np.exp(rng.normal(0, 0.05, 3))
    return _coloured(lamps, tint) + _coloured(room, wall)


def _coloured(cover: Floats, colour: Floats) -> Floats:
    return np.asarray(cover[..., None] * colour, np.float32)


PAINTERS: dict[str, Painter] = {
    "overcast": _overcast, "sun": _sun, "led": _led, "warm": _warm, "shade": _shade,
}  # fmt: skip
