"""A palm or gloved hand behind the spike: fingers side by side, creases, folds of a glove."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds.backdrop import Backdrop, Site
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats

# Skin of all tones, light to dark, and gloves (own choice).
SKINS = ((236, 192, 168), (224, 172, 142), (206, 152, 120), (186, 128, 96), (150, 102, 76),
         (122, 82, 60), (92, 62, 48), (70, 48, 40))  # fmt: skip
GLOVES = ((62, 92, 158), (226, 226, 222), (44, 46, 50), (120, 150, 200), (104, 152, 120),
          (196, 168, 210), (232, 214, 186), (210, 120, 60))  # fmt: skip


def draw_hand(site: Site) -> Backdrop:
    """Return the inside of a hand that fills the picture or ends in it."""
    rng = site.rng
    gloved = chance(rng, 0.4)
    srgb = paint.pick(rng, GLOVES if gloved else SKINS)
    shape = (site.shape[0] // 2 + 1, site.shape[1] // 2 + 1)
    ppm = site.px_per_mm / 2
    colour = linear(paint.varied(rng, srgb, 8))
    light = np.empty((*shape, 3), np.float32)
    light[:] = colour
    if not gloved:
        _blood(rng, light, ppm)
    fingers = chance(rng, 0.65)
    relief = _fingers(rng, shape, ppm) if fingers else 0.5 * layered(rng, shape, 25 * ppm, 2)
    light *= np.clip(1 + 0.3 * relief, 0.12, 1.6)[..., None]
    for _ in range(int(rng.integers(3, 11))):
        _fold(rng, light, ppm, soft=gloved)
    fine = layered(rng, shape, (0.9 if gloved else 0.5) * ppm, 2)
    light *= (1 + (0.02 if gloved else 0.045) * fine)[..., None]
    if gloved:
        gleam = np.clip(layered(rng, shape, 12 * ppm, 2), 0, None) ** 2
        light += (float(rng.uniform(0.0, 0.03)) * gleam)[..., None]
    soft: Floats = paint.blurred(light, float(rng.uniform(0.02, 0.35)) * ppm)
    full: Floats = paint.grown(soft, site.shape) * paint.grain(rng, site.shape, 0.03)[..., None]
    full = paint.mottled(rng, full, max(site.shape) * 0.6, 0.14, 2)
    return Backdrop(site.ambience.on(full), float(rng.uniform(4, 12)))


def _blood(rng: np.random.Generator, light: Floats, ppm: float) -> None:
    """Redden skin in patches."""
    patch = np.clip(0.5 + 0.5 * layered(rng, light.shape, 14 * ppm, 3), 0, 1)[..., None]
    red = np.asarray((1.06, 0.84, 0.8), np.float32)
    light *= 1 + (red - 1) * patch


def _fingers(rng: np.random.Generator, shape: tuple[int, int], ppm: float) -> Floats:
    """Return the shading of fingers side by side: bright along the middle, black in the gaps."""
    height, width = shape
    angle = rng.uniform(0, np.pi)
    y = np.arange(height, dtype=np.float32)[:, None] - np.float32(height * rng.uniform(0.3, 0.7))
    x = np.arange(width, dtype=np.float32)[None, :] - np.float32(width * rng.uniform(0.3, 0.7))
    across = x * np.float32(np.cos(angle)) + y * np.float32(np.sin(angle))
    wobble = cv2.resize(
        layered(rng, (height // 8 + 2, width // 8 + 2), 4 * ppm, 2), (width, height)
    )
    wide = np.float32(rng.uniform(14, 20) * ppm)
    place = (across + wobble * np.float32(0.8 * ppm)) / wide
    v = 2 * (place - np.floor(place)) - 1
    gap = np.clip((np.abs(v) - 0.9) / 0.1, 0, 1)
    return np.asarray(0.5 - 1.1 * v**2 - 1.6 * gap**2 + 0.25 * v, np.float32)


def _fold(rng: np.random.Generator, light: Floats, ppm: float, *, soft: bool) -> None:
    """Draw one crease: a dark line with a brighter lip."""
    height, width = light.shape[:2]
    mask = np.zeros((height, width), np.uint8)
    start = (rng.uniform(-0.1, 1.1) * width, rng.uniform(-0.1, 1.1) * height)
    line = paint.curve(
        start, rng.uniform(0, 6.3), rng.uniform(10, 70) * ppm, rng.normal(0, 0.9), 12
    )
    points = [np.round(line).astype(np.int32)]
    thick = max(1, round(rng.uniform(0.25, 1.1 if not soft else 2.5) * ppm))
    cv2.polylines(mask, points, isClosed=False, color=255, thickness=thick, lineType=cv2.LINE_AA)
    dark = cv2.GaussianBlur(mask, (0, 0), max(0.6, thick * (0.4 if not soft else 0.9)))
    depth = np.float32(rng.uniform(0.1, 0.45) / 255)
    shifted = np.roll(dark, (thick, thick), (0, 1)).astype(np.float32)
    light *= (1 - depth * dark.astype(np.float32) + 0.35 * depth * shifted)[..., None]
