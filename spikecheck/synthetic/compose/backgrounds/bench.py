"""A bench under the spike: wood, brushed steel or laminate, with shadows and things on it."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np

from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds.backdrop import Backdrop, Site
from spikecheck.synthetic.compose.warping import warped
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered

_Surface = Callable[[np.random.Generator, int, float], np.ndarray]
_WOODS = (
    (150, 116, 80),
    (126, 94, 66),
    (176, 146, 108),
    (96, 66, 46),
    (196, 170, 132),
    (88, 62, 52),
)
_STEELS = ((150, 152, 154), (178, 180, 180), (120, 122, 126))
_LAMINATES = ((206, 204, 198), (120, 128, 126), (84, 92, 100), (186, 176, 160), (58, 60, 64),
              (104, 132, 148), (222, 222, 220))  # fmt: skip


def draw_bench(site: Site) -> Backdrop:
    """Return a bench on which the spike lies or over which it is held."""
    rng, ppm = site.rng, site.px_per_mm
    albedo = _surface(rng, site.shape, ppm)
    if chance(rng, 0.35):
        _clutter(rng, albedo, ppm)
    _stain(rng, albedo)
    behind = float(rng.uniform(4, 9)) if chance(rng, 0.7) else float(rng.uniform(9, 45))
    light = site.ambience.on(albedo)
    light = paint.mottled(rng, light, max(site.shape) * 0.7, 0.18, 2)
    return Backdrop(light, behind)


def _surface(rng: np.random.Generator, shape: tuple[int, int], ppm: float) -> np.ndarray:
    kind = rng.random()
    if kind < 0.45:  # noqa: PLR2004  (share)
        return _turned(rng, shape, _wood, ppm)
    if kind < 0.65:  # noqa: PLR2004
        return _turned(rng, shape, _steel, ppm)
    return _laminate(rng, shape, ppm)


def _turned(
    rng: np.random.Generator, shape: tuple[int, int], surface: _Surface, ppm: float
) -> np.ndarray:
    """Return a surface with a direction, turned at random."""
    side = int(np.hypot(*shape) * 0.52) + 2  # painted at half size, large enough to turn
    made = surface(rng, side, ppm / 2)
    angle = (
        float(rng.choice((0, 90)) + rng.normal(0, 8))
        if chance(rng, 0.7)
        else float(rng.uniform(0, 180))
    )
    turn = cv2.getRotationMatrix2D((side / 2, side / 2), angle, 2.0)
    shift = np.array([[0, 0, shape[1] / 2 - side / 2], [0, 0, shape[0] / 2 - side / 2]])
    full = warped(made, turn + shift, shape, stretch=2.0, border=cv2.BORDER_REFLECT)
    full = full * paint.grain(rng, shape, 0.035)[..., None]
    return np.asarray(full, np.float32)


def _wood(rng: np.random.Generator, side: int, ppm: float) -> np.ndarray:
    """Return boards whose grain runs along the rows' direction."""
    base = linear(paint.varied(rng, paint.pick(rng, _WOODS), 10))
    fine = cv2.resize(layered(rng, (side, side // 30 + 2), 1.6, 3), (side, side))
    broad = cv2.resize(layered(rng, (side, side // 40 + 2), 4 * ppm, 2), (side, side))
    rings = np.sin(broad * rng.uniform(2, 6) + np.linspace(0, rng.uniform(6, 40), side)[:, None])
    tone = 1 + 0.09 * fine + 0.1 * broad + rng.uniform(0.03, 0.14) * rings
    light = base * np.maximum(tone, 0.2)[..., None]
    plank = float(rng.uniform(35, 140)) * ppm
    for edge in np.arange(rng.uniform(0, plank), side, plank):
        row = int(edge)
        light[row:] *= np.float32(rng.uniform(0.86, 1.16))
        wide = max(1, round(rng.uniform(0.2, 0.9) * ppm))
        light[row : row + wide] *= np.float32(0.3)
    return np.clip(light, 0.004, 0.9).astype(np.float32)


def _steel(rng: np.random.Generator, side: int, ppm: float) -> np.ndarray:
    """Return brushed steel: fine lines and broad reflections."""
    base = linear(paint.varied(rng, paint.pick(rng, _STEELS), 12))
    lines = cv2.resize(rng.standard_normal((side, side // 120 + 2), np.float32), (side, side))
    gleam = layered(rng, (side, side), 60 * ppm, 2)
    return np.clip(base * (1 + 0.07 * lines + 0.35 * gleam)[..., None], 0.01, 1.1).astype(
        np.float32
    )


def _laminate(rng: np.random.Generator, shape: tuple[int, int], ppm: float) -> np.ndarray:
    """Return a plain or speckled plate."""
    base = linear(paint.varied(rng, paint.pick(rng, _LAMINATES), 10))
    light = np.empty((*shape, 3), np.float32)
    light[:] = base
    if chance(rng, 0.5):
        speck = layered(rng, shape, float(rng.uniform(0.3, 1.6)) * ppm, 2)
        light *= (1 + float(rng.uniform(0.03, 0.25)) * np.clip(speck, -2, 2))[..., None]
    return np.asarray(light * paint.grain(rng, shape, 0.02)[..., None], np.float32)


def _clutter(rng: np.random.Generator, light: np.ndarray, ppm: float) -> None:
    """Lay clipped-off awns, a pencil, a card or a tape roll's edge on it."""
    height, width = light.shape[:2]
    cover = np.zeros((height, width), np.uint8)
    for _ in range(int(rng.integers(1, 3))):
        centre = (rng.uniform(-0.05, 1.05) * width, rng.uniform(-0.05, 1.05) * height)
        half = (rng.uniform(15, 60) * ppm, rng.uniform(2.5, 30) * ppm)
        cover[:] = 0
        points = paint.ellipse_points(centre, half, rng.uniform(0, np.pi), int(rng.choice((4, 24))))
        cv2.fillPoly(cover, [np.round(points).astype(np.int32)], 255, cv2.LINE_AA)
        soft = cv2.GaussianBlur(cover, (0, 0), 0.6 * ppm).astype(np.float32) / np.float32(255)
        light *= (1 - 0.45 * np.roll(soft, round(0.8 * ppm), (0, 1)))[..., None]
        colour = linear(paint.varied(rng, rng.uniform(20, 235, 3), 10))
        light += (colour - light) * (cover.astype(np.float32) / np.float32(255))[..., None]


def _stain(rng: np.random.Generator, light: np.ndarray) -> None:
    """Add scratches and spots."""
    mask = np.full((*light.shape[:2], 3), 128, np.uint8)
    height, width = light.shape[:2]
    for _ in range(int(rng.integers(0, 14))):
        start = (rng.uniform(0, width), rng.uniform(0, height))
        line = paint.curve(start, rng.uniform(0, 6.3), rng.uniform(20, 500), rng.normal(0, 0.4), 5)
        value = float(rng.uniform(95, 160))
        paint.stroke(mask, line, (value,) * 3, rng.uniform(1, 3))
    for _ in range(int(rng.integers(0, 30))):
        value = float(rng.uniform(80, 150))
        paint.disc(
            mask, (rng.uniform(0, width), rng.uniform(0, height)), rng.uniform(0.8, 5), (value,) * 3
        )
    light *= mask.astype(np.float32) * np.float32(1 / 128)
