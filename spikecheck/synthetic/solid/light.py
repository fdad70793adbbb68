"""Draws the light: what surrounds the spike, as a map of radiance over all directions.

Each family paints lamps, sky, ground and what stands around, then the camera's white balance is
applied in advance: a phone balances on what it sees, so a blue sky alone never makes a plant teal.
What is left is a mild cast along the daylight locus and across it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid import sky
from spikecheck.synthetic.solid.light_families import FAMILIES, PAINTERS
from spikecheck.synthetic.solid.surround import SURROUNDS, paint_surround

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats

# How far the camera's balance falls short of full: share of the light's colour that stays, and
# its spread (own choice; daylight is balanced nearly fully, lamps less).
_LEFT_OVER = {"overcast": 0.1, "sun": 0.12, "shade": 0.1, "led": 0.08, "warm": 0.13}
_CAST_SPREAD = 0.02  # deviation of ln(red/green) and ln(blue/green) of the remaining cast

__all__ = ["FAMILIES", "Light", "draw_light"]


@dataclass(frozen=True, slots=True)
class Light:
    """The light of one scene.

    Parameters
    ----------
    family
        One of :data:`FAMILIES`.
    surround
        What stands around: one of :data:`~spikecheck.synthetic.solid.surround.SURROUNDS`.
    radiance
        float32 of shape (H, W, 3), linear sRGB, laid out as in
        :func:`spikecheck.synthetic.solid.sky.directions`.
    """

    family: str
    surround: str
    radiance: Floats


def draw_light(rng: np.random.Generator, family: str | None = None) -> Light:
    """Draw a light.

    Parameters
    ----------
    rng
        Where the chances come from.
    family
        One of :data:`FAMILIES`; None draws one.
    """
    if family is None:
        family = str(rng.choice(FAMILIES, p=(0.26, 0.28, 0.17, 0.15, 0.14)))
    indoors = family in {"led", "warm"}
    names, weights = zip(*SURROUNDS[indoors].items(), strict=True)
    surround = str(rng.choice(names, p=np.array(weights) / sum(weights)))
    lamps = PAINTERS[family](rng)
    radiance = paint_surround(lamps, surround, rng)
    return Light(family, surround, _balanced(radiance, family, rng))


def _balanced(radiance: Floats, family: str, rng: np.random.Generator) -> Floats:
    """Balance the light on what falls on the side shown to the camera, and scale it to 1."""
    seen = sky.irradiance(radiance, (0, -0.8, 0.6)) + 0.3 * sky.irradiance(radiance, (0, 0.6, 0.8))
    colour = seen / seen[1]
    kept = colour ** (_LEFT_OVER[family] * rng.uniform(0, 1.3))
    cast = np.exp(rng.normal(0, _CAST_SPREAD, 3))
    gain = kept * cast / colour / seen[1]
    return np.asarray(radiance * gain.astype(np.float32), np.float32)
