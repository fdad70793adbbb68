"""What stands around and below the spike and throws light back: ground, leaves, bench, card."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid import sky

if TYPE_CHECKING:
    from collections.abc import Mapping

    from spikecheck.synthetic.arrays import Floats

# How often each stands around, outdoors (False) and indoors (True): own choice.
SURROUNDS: Mapping[bool, Mapping[str, float]] = {
    False: {"field": 0.5, "glasshouse": 0.12, "dark_card": 0.12, "pale_card": 0.1, "hand": 0.16},
    True: {"glasshouse": 0.34, "bench": 0.3, "dark_card": 0.16, "pale_card": 0.12, "hand": 0.08},
}
# Reflectance, linear sRGB, of what lies below and of what stands behind (own choice after soil
# 0.05-0.25, crop 0.03-0.12 in the visible, painted bench 0.2-0.6, paper 0.7).
_BELOW = {
    "field": ((0.05, 0.09, 0.025), (0.16, 0.12, 0.07)),
    "glasshouse": ((0.10, 0.12, 0.08), (0.35, 0.34, 0.32)),
    "bench": ((0.18, 0.17, 0.16), (0.60, 0.58, 0.54)),
    "dark_card": ((0.04, 0.06, 0.03), (0.20, 0.18, 0.15)),
    "pale_card": ((0.10, 0.10, 0.08), (0.50, 0.48, 0.45)),
    "hand": ((0.08, 0.09, 0.04), (0.30, 0.22, 0.16)),
}
_BEHIND = {
    "field": (0.05, 0.085, 0.022), "glasshouse": (0.16, 0.2, 0.14), "bench": (0.3, 0.29, 0.27),
    "dark_card": (0.012, 0.012, 0.013), "pale_card": (0.72, 0.71, 0.68), "hand": (0.3, 0.19, 0.13),
}  # fmt: skip
_PHOTOGRAPHER_SEEN = 0.8  # share of lights in which the photographer throws a shadow
_BODY = ((0.02, 0.02, 0.022), (0.25, 0.25, 0.27), (0.04, 0.06, 0.15), (0.3, 0.16, 0.1))


def paint_surround(lamps: Floats, surround: str, rng: np.random.Generator) -> Floats:
    """Return the light with ground, horizon, backdrop and photographer painted over it.

    Parameters
    ----------
    lamps
        Radiance of sky and lamps, (H, W, 3).
    surround
        A name in :data:`SURROUNDS`.
    rng
        Where the chances come from.
    """
    level = sky.irradiance(lamps, (0, 0, 1)) / np.pi
    front = sky.irradiance(lamps, (0, -1, 0)) / np.pi
    out = lamps.copy()
    _cover(out, _ground(), level * _of(_between(_BELOW[surround], rng), rng), rng)
    if surround in {"field", "glasshouse"}:
        _cover(out, _horizon(rng), (level * 0.6 + front * 0.4) * _of(_BEHIND[surround], rng), rng)
    else:
        away = np.clip((sky.directions()[..., 1] - rng.uniform(0.3, 0.75)) / 0.1, 0, 1)
        _cover(out, away, front * _of(_BEHIND[surround], rng), rng)
    if rng.random() < _PHOTOGRAPHER_SEEN:
        body = sky.disc(
            sky.toward(rng.uniform(-25, 25), rng.uniform(-35, 5)), rng.uniform(14, 34), 8
        )
        clothes = _of(_BODY[rng.integers(len(_BODY))], rng)
        _cover(out, body * 0.9, level * 0.5 * clothes, rng)
    return out


def _cover(
    out: Floats,
    share: Floats,
    radiance: Floats,
    rng: np.random.Generator,
) -> None:
    """Lay something mottled over part of the surroundings, in place."""
    mottle = np.exp(rng.uniform(0.1, 0.4) * sky.patches(rng, rng.uniform(20, 60)))
    cover = share[..., None]
    out *= (1 - cover).astype(np.float32)
    out += (cover * mottle[..., None] * radiance).astype(np.float32)


def _ground() -> Floats:
    return np.asarray(np.clip(0.5 - sky.directions()[..., 2] / 0.06, 0, 1), np.float32)


def _horizon(rng: np.random.Generator) -> Floats:
    """Plants, hedges or benches up to a ragged height above the horizon."""
    height = np.sin(np.radians(rng.uniform(3, 35))) + 0.06 * sky.patches(rng, 15)
    return np.asarray(np.clip((height - sky.directions()[..., 2]) / 0.08, 0, 1), np.float32)


def _between(
    ends: tuple[tuple[float, ...], tuple[float, ...]], rng: np.random.Generator
) -> tuple[float, ...]:
    t = rng.random()
    return tuple(a * (1 - t) + b * t for a, b in zip(*ends, strict=True))


def _of(colour: tuple[float, ...], rng: np.random.Generator) -> Floats:
    return np.asarray(np.asarray(colour) * np.exp(rng.normal(0, 0.25) + rng.normal(0, 0.08, 3)))
