"""Light and background of a picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.colour import jittered
from spikecheck.synthetic.light import Light
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.synthetic.arrays import Floats

# Linear RGB of the direct light and of the sky or room, before the camera's white balance.
_LIGHTS = (
    ((0.92, 0.88, 0.8), (0.34, 0.37, 0.42), 0.9),  # sun through haze
    ((0.5, 0.5, 0.49), (0.52, 0.54, 0.56), 3.0),  # overcast
    ((0.75, 0.74, 0.72), (0.42, 0.43, 0.43), 1.6),  # lamp of the bench
    ((0.78, 0.7, 0.56), (0.44, 0.41, 0.36), 1.8),  # warm bulb
    ((0.66, 0.68, 0.64), (0.46, 0.5, 0.48), 2.2),  # glasshouse
)


def draw_light(rng: np.random.Generator) -> Light:
    """Return a light at random, from above and in front."""
    key, sky, soft = _LIGHTS[int(rng.integers(len(_LIGHTS)))]
    x, y = rng.uniform(-0.7, 0.7), rng.uniform(-0.75, -0.15)
    z = rng.uniform(0.6, 1.0)
    norm = float(np.sqrt(x * x + y * y + z * z))
    strength = rng.uniform(0.92, 1.08)
    return Light(
        direction=(float(x / norm), float(y / norm), float(z / norm)),
        key=tuple(float(k * strength) for k in key),  # type: ignore[arg-type]
        sky=tuple(float(k * strength) for k in sky),  # type: ignore[arg-type]
        soft_mm=float(soft),
    )


def _card(
    rng: np.random.Generator, shape: tuple[int, int], ppm: float, colour: tuple[int, int, int]
) -> Floats:
    """Return a plain card: paper grain, uneven light, a few specks."""
    grain = layered(rng, shape, 2.5, 2) * 0.02
    uneven = layered(rng, shape, 22 * ppm, 2) * 0.05
    base = jittered(rng, colour, 8)
    return (base * (1 + grain + uneven)[..., None]).astype(np.float32)


def _dark_card(rng: np.random.Generator, shape: tuple[int, int], ppm: float) -> Floats:
    return _card(rng, shape, ppm, ((34, 36, 40), (46, 44, 42), (28, 34, 46))[rng.integers(3)])


def _grey_card(rng: np.random.Generator, shape: tuple[int, int], ppm: float) -> Floats:
    return _card(rng, shape, ppm, (128, 128, 126))


def _white_card(rng: np.random.Generator, shape: tuple[int, int], ppm: float) -> Floats:
    return _card(rng, shape, ppm, (206, 207, 208))


def _bench(rng: np.random.Generator, shape: tuple[int, int], ppm: float) -> Floats:
    """Return a wooden bench: grain along one direction."""
    along = layered(rng, (shape[0] // 40 + 2, shape[1]), 2.2, 3)
    wide = layered(rng, (shape[0] // 20 + 2, shape[1]), 5 * ppm, 2)
    grain, broad = _grown(along, shape), _grown(wide, shape)
    base = jittered(rng, ((150, 116, 80), (126, 94, 66), (170, 140, 104))[rng.integers(3)], 8)
    return np.clip(base * (1 + 0.1 * grain + 0.12 * broad)[..., None], 0.01, 0.9).astype(np.float32)


def _field(rng: np.random.Generator, shape: tuple[int, int], ppm: float) -> Floats:
    """Return a crop far out of focus: green and brown blots and soft stems."""
    height, width = shape[0] // 16 + 1, shape[1] // 16 + 1
    low = np.empty((height, width, 3), np.float32)
    low[:] = jittered(rng, ((74, 92, 52), (96, 104, 66), (88, 76, 58))[rng.integers(3)], 10)
    for _ in range(90):
        colour = jittered(
            rng,
            ((104, 134, 70), (132, 150, 84), (60, 80, 44), (116, 96, 70), (168, 172, 120))[
                rng.integers(5)
            ],
            14,
        )
        x, y = rng.uniform(-0.1, 1.1) * width, rng.uniform(-0.1, 1.1) * height
        if chance(rng, 0.5):
            lean = rng.normal(0, 0.25) * height
            thick = int(max(1, rng.uniform(0.5, 1.6) * ppm / 16 * 2))
            ends = (int(x), int(y)), (int(x + lean), int(y - rng.uniform(0.3, 0.9) * height))
            cv2.line(low, *ends, colour.tolist(), thick, cv2.LINE_AA)
        else:
            radius = int(max(2, rng.uniform(1.5, 6) * ppm / 16))
            cv2.circle(low, (int(x), int(y)), radius, colour.tolist(), -1, cv2.LINE_AA)
    blur = max(1.2, float(rng.uniform(2.4, 5.0)) * ppm / 22)
    return _grown(np.asarray(cv2.GaussianBlur(low, (0, 0), blur), np.float32), shape)


def _grown(coarse: Floats, shape: tuple[int, int]) -> Floats:
    """Return an array stretched smoothly to a height and width."""
    grown = cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)
    return np.asarray(grown, np.float32)


_BACKGROUNDS: tuple[Callable[[np.random.Generator, tuple[int, int], float], Floats], ...] = (
    _dark_card,
    _grey_card,
    _white_card,
    _bench,
    _field,
)


def draw_background(
    rng: np.random.Generator, shape: tuple[int, int], px_per_mm: float, light: Light
) -> tuple[Floats, bool]:
    """Return a lit background and whether the spike lies near enough to cast a shadow on it.

    Returns
    -------
    background
        float32 array of shape (H, W, 3): linear RGB.
    near
        False for a field far behind.
    """
    paint = _BACKGROUNDS[int(rng.integers(len(_BACKGROUNDS)))]
    albedo = paint(rng, shape, px_per_mm)
    facing = np.asarray(light.key, np.float32) * np.float32(light.direction[2] * 0.95)
    return albedo * (facing + np.asarray(light.sky, np.float32) * 0.85), paint is not _field


def cast_shadow(
    background: Floats,
    alpha: Floats,
    light: Light,
    px_per_mm: float,
    height_mm: float,
) -> None:
    """Darken the background where the spike, ``height_mm`` above it, keeps the light away."""
    shrink = 4
    small = cv2.resize(
        alpha, (alpha.shape[1] // shrink, alpha.shape[0] // shrink), interpolation=cv2.INTER_AREA
    )
    lx, ly, lz = light.direction
    shift = height_mm * px_per_mm / shrink / max(lz, 0.3)
    move = np.array([[1, 0, -lx * shift], [0, 1, -ly * shift]], np.float32)
    soft = cv2.GaussianBlur(small, (0, 0), max(0.8, light.soft_mm * px_per_mm / shrink))
    soft = cv2.warpAffine(soft, move, (small.shape[1], small.shape[0]))
    share = np.float32(sum(light.key) / (sum(light.key) + sum(light.sky))) * np.float32(0.85)
    full = cv2.resize(soft, (alpha.shape[1], alpha.shape[0]), interpolation=cv2.INTER_LINEAR)
    background *= (1 - share * np.clip(full, 0, 1))[..., None]
