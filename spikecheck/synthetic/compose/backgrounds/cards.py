"""Dark and pale cards under the spike: grain, creases, lint, printed marks, an edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds.backdrop import Backdrop, Site
from spikecheck.synthetic.compose.print_marks import print_marks
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats

_DARKS = ((34, 36, 40), (46, 44, 42), (28, 34, 46), (20, 20, 22), (36, 50, 40), (58, 58, 62),
          (66, 40, 44), (30, 44, 70))  # fmt: skip
_PALES = ((238, 238, 236), (228, 230, 234), (246, 244, 238), (214, 216, 218), (236, 228, 208),
          (206, 222, 234), (240, 222, 216), (198, 200, 198), (180, 186, 190))  # fmt: skip
_TABLES = ((110, 88, 66), (70, 72, 76), (160, 158, 152), (48, 50, 52), (140, 120, 100))


def draw_dark_card(site: Site) -> Backdrop:
    """Return a dark card, cloth or paper."""
    return _card(site, paint.pick(site.rng, _DARKS), lint=0.7, printed=0.12)


def draw_pale_card(site: Site) -> Backdrop:
    """Return a pale card or paper, perhaps printed with a frame, a bar or lines of writing."""
    return _card(site, paint.pick(site.rng, _PALES), lint=0.3, printed=0.45)


def _card(site: Site, srgb: tuple[int, int, int], *, lint: float, printed: float) -> Backdrop:
    rng, ppm, shape = site.rng, site.px_per_mm, site.shape
    painted = paint.plain(shape, paint.varied(rng, srgb, 6))
    if chance(rng, printed):
        print_marks(rng, painted, ppm, dark=sum(srgb) < 300)  # noqa: PLR2004
    if chance(rng, lint):
        _lint(rng, painted, ppm, srgb)
    if chance(rng, 0.25):
        _edge(rng, painted)
    albedo = paint.to_light(painted)
    albedo *= paint.grain(
        rng, shape, float(rng.uniform(0.008, 0.06)), float(rng.uniform(0.5, 1.6))
    )[..., None]
    for _ in range(int(rng.integers(0, 5))):
        if chance(rng, 0.5):
            _crease(rng, albedo, ppm)
    light = site.ambience.on(albedo)
    light = paint.mottled(rng, light, max(shape) * float(rng.uniform(0.3, 1)), 0.1, 2)
    if chance(rng, 0.5):
        _slope(rng, light)
    behind = float(rng.uniform(4, 8)) if chance(rng, 0.6) else float(rng.uniform(8, 40))
    return Backdrop(light, behind)


def _crease(rng: np.random.Generator, light: Floats, ppm: float) -> None:
    """Fold the card: brighter on one side of a line, darker on the other, fading away from it."""
    height, width = light.shape[:2]
    angle, wide = rng.uniform(0, np.pi), float(rng.uniform(0.4, 12)) * ppm
    place = rng.uniform(0.1, 0.9, 2) * (width, height)
    y = np.arange(height, dtype=np.float32)[:, None] - np.float32(place[1])
    x = np.arange(width, dtype=np.float32)[None, :] - np.float32(place[0])
    off = x * np.float32(np.sin(angle)) - y * np.float32(np.cos(angle))
    fold = np.float32(rng.uniform(0.02, 0.12)) * off / (wide + np.abs(off) ** 1.5 / np.sqrt(wide))
    light *= (1 + fold)[..., None]


def _lint(
    rng: np.random.Generator, painted: np.ndarray, ppm: float, srgb: tuple[int, int, int]
) -> None:
    """Strew fibres, dust and clippings of awns and glumes over it."""
    height, width = painted.shape[:2]
    for _ in range(int(rng.integers(3, 70))):
        place = (rng.uniform(0, width), rng.uniform(0, height))
        colour = paint.varied(rng, np.asarray(srgb) * 0.5 + rng.uniform(40, 120, 3), 15)
        if chance(rng, 0.4):
            line = paint.curve(
                place, rng.uniform(0, 6.3), rng.uniform(0.5, 5) * ppm, rng.normal(0, 2), 8
            )
            paint.stroke(painted, line, colour, 1)
        else:
            paint.disc(painted, place, rng.uniform(0.03, 0.15) * ppm, colour)
    for _ in range(int(rng.integers(0, 6))):
        place = (rng.uniform(0, width), rng.uniform(0, height))
        line = paint.curve(
            place, rng.uniform(0, 6.3), rng.uniform(3, 14) * ppm, rng.normal(0, 0.5), 8
        )
        colour = paint.varied(rng, (150, 156, 100), 25)
        if chance(rng, 0.5):
            paint.stroke(painted, line, colour, 0.25 * ppm)
        else:
            paint.blade(painted, rng, line, rng.uniform(0.6, 1.6) * ppm, colour)


def _edge(rng: np.random.Generator, painted: np.ndarray) -> None:
    """Let the card end inside the picture, on a table."""
    height, width = painted.shape[:2]
    table = np.asarray(paint.varied(rng, paint.pick(rng, _TABLES), 14))
    end = rng.uniform(0.02, 0.16)
    tilt = rng.normal(0, 0.05)
    side = int(rng.integers(4))
    corners = {
        0: [[0, 0], [width, 0], [width, (end + tilt) * height], [0, (end - tilt) * height]],
        1: [[0, height], [width, height], [width, (1 - end + tilt) * height],
            [0, (1 - end - tilt) * height]],
        2: [[0, 0], [0, height], [(end + tilt) * width, height], [(end - tilt) * width, 0]],
        3: [[width, 0], [width, height], [(1 - end + tilt) * width, height],
            [(1 - end - tilt) * width, 0]],
    }[side]  # fmt: skip
    paint.polygon(painted, np.asarray(corners, np.float32), table)


def _slope(rng: np.random.Generator, light: Floats) -> None:
    """Let the light fall off across the picture."""
    height, width = light.shape[:2]
    dx, dy = rng.normal(0, 0.22, 2)
    y = np.linspace(-1, 1, height, dtype=np.float32)[:, None] * np.float32(dy)
    x = np.linspace(-1, 1, width, dtype=np.float32)[None, :] * np.float32(dx)
    light *= np.clip(1 + x + y, 0.35, 1.7)[..., None]
    if chance(rng, 0.4):  # the photographer's own shadow
        cast = np.zeros((height // 8 + 1, width // 8 + 1), np.float32)
        centre = (
            int(rng.uniform(0, 1) * cast.shape[1]),
            int(rng.choice((0.05, 0.95)) * cast.shape[0]),
        )
        cv2.circle(cast, centre, int(rng.uniform(0.2, 0.5) * max(cast.shape)), 1.0, -1)
        soft = cv2.GaussianBlur(cast, (0, 0), rng.uniform(3, 16))
        light *= (
            1 - np.float32(rng.uniform(0.15, 0.5)) * cv2.resize(soft, (width, height))[..., None]
        )
