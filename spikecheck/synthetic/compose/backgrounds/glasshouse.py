"""A glasshouse behind the spike: glass and frames, benches, pots, plants, lamps."""

from __future__ import annotations

import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds import plants
from spikecheck.synthetic.compose.backgrounds.backdrop import Backdrop, Site
from spikecheck.synthetic.randomness import chance

_COARSE = 4
_WALLS = ((214, 218, 220), (236, 238, 240), (176, 184, 188), (196, 206, 200), (150, 156, 160))
_FRAMES = ((238, 238, 238), (120, 124, 128), (92, 98, 100), (180, 184, 186))
_POTS = ((40, 40, 42), (150, 84, 58), (176, 104, 72), (58, 62, 60), (206, 206, 202))
_FLOORS = ((150, 148, 144), (110, 108, 104), (186, 184, 178), (92, 84, 74))
_LAMPS = ((255, 250, 240), (255, 214, 250), (240, 190, 255), (255, 236, 190))


def draw_glasshouse(site: Site) -> Backdrop:
    """Return a glasshouse out of focus."""
    rng = site.rng
    shape = (site.shape[0] // _COARSE + 1, site.shape[1] // _COARSE + 1)
    ppm = site.px_per_mm / _COARSE
    painted = paint.plain(shape, paint.varied(rng, paint.pick(rng, _WALLS), 12))
    _structure(painted, rng)
    if chance(rng, 0.7):
        _bench_row(painted, rng)
    softness = float(rng.uniform(0.3, 2.2))
    colours = plants.palette(rng)
    light = paint.blurred(paint.to_light(painted), softness * 1.5 * ppm)
    near = _encoded(light)
    if chance(rng, 0.85):
        plants.blades(
            near,
            rng,
            colours,
            count=int(rng.integers(6, 70)),
            half_px=(0.6 * ppm, 3 * ppm),
            length_px=(15 * ppm, 70 * ppm),
            upright=0.7,
        )
        plants.stems(near, rng, colours, count=int(rng.integers(1, 12)),
                     thick_px=(0.6 * ppm, 2.0 * ppm), headed=0.5)  # fmt: skip
    if chance(rng, 0.35):
        _canes(near, rng)
    light = paint.blurred(paint.to_light(near), softness * ppm)
    if chance(rng, 0.35):
        _lamps(rng, light)
    light = paint.mottled(rng, light, 40 * ppm, 0.1, 2)
    return Backdrop(site.ambience.on(paint.grown(light, site.shape)), None)


def _encoded(light: np.ndarray) -> np.ndarray:
    from spikecheck.synthetic.colour import encoded

    return np.ascontiguousarray((encoded(light) * 255 + 0.5).astype(np.uint8))


def _structure(painted: np.ndarray, rng: np.random.Generator) -> None:
    """Paint panes of glass between bars that run to a vanishing point."""
    height, width = painted.shape[:2]
    for _ in range(int(rng.integers(2, 7))):  # panes, each lighter or darker
        x0, x1 = np.sort(rng.uniform(-0.1, 1.1, 2)) * width
        y0, y1 = np.sort(rng.uniform(-0.1, 1.1, 2)) * height
        corners = np.array([[x0, y0], [x1, y0 + rng.normal(0, 9)], [x1, y1], [x0, y1]], np.float32)
        paint.polygon(painted, corners, paint.varied(rng, paint.pick(rng, _WALLS), 14))
    far = np.array([rng.uniform(-0.3, 1.3) * width, rng.uniform(0.1, 0.6) * height])
    frame = paint.pick(rng, _FRAMES)
    for _ in range(int(rng.integers(2, 9))):
        start = np.array([rng.uniform(-0.2, 1.2) * width, rng.choice((-0.1, 1.1)) * height])
        end = start + (far - start) * 0.9 if chance(rng, 0.4) else start * (1, -0.2)
        line = np.stack((start, end)).astype(np.float32)
        paint.stroke(painted, line, paint.varied(rng, frame, 10), rng.uniform(0.008, 0.05) * width)


def _bench_row(painted: np.ndarray, rng: np.random.Generator) -> None:
    """Paint a bench or floor with pots on it."""
    height, width = painted.shape[:2]
    top = rng.uniform(0.45, 0.9) * height
    tilt = rng.normal(0, 0.05) * height
    corners = np.array([[0, top], [width, top + tilt], [width, height], [0, height]], np.float32)
    paint.polygon(painted, corners, paint.varied(rng, paint.pick(rng, _FLOORS), 14))
    pot, size = paint.pick(rng, _POTS), rng.uniform(0.12, 0.4) * width
    for _ in range(int(rng.integers(0, 7))):
        x, wide = rng.uniform(-0.1, 1.1) * width, size * rng.uniform(0.8, 1.2)
        base, tall = top + rng.uniform(0, 0.5) * (height - top), wide * rng.uniform(0.7, 1.1)
        colour = paint.varied(rng, pot, 8)
        body = np.array([[x - wide / 2, base - tall], [x + wide / 2, base - tall],
                         [x + wide * 0.36, base], [x - wide * 0.36, base]], np.float32)  # fmt: skip
        paint.polygon(painted, body, colour)
        rim = ((x, base - tall), (wide * 0.54, wide * 0.1))
        paint.polygon(
            painted, paint.ellipse_points(*rim, 0.0), np.clip(np.asarray(colour) * 1.2, 0, 255)
        )
        paint.polygon(
            painted,
            paint.ellipse_points((x, base - tall), (wide * 0.46, wide * 0.07), 0.0),
            paint.varied(rng, paint.pick(rng, plants.SOILS), 8),
        )


def _canes(painted: np.ndarray, rng: np.random.Generator) -> None:
    """Paint support canes, strings and white labels."""
    height, width = painted.shape[:2]
    for _ in range(int(rng.integers(1, 6))):
        x = rng.uniform(0, 1) * width
        line = np.array(
            [[x, height], [x + rng.normal(0, 0.08) * width, rng.uniform(-0.1, 0.5) * height]]
        )
        paint.stroke(painted, line, paint.varied(rng, (190, 164, 110), 20), rng.uniform(1, 5))
    for _ in range(int(rng.integers(0, 4))):
        place, half = (
            rng.uniform(0, 1, 2) * (width, height),
            (rng.uniform(9, 26), rng.uniform(3, 8)),
        )
        corners = paint.ellipse_points((place[0], place[1]), half, rng.uniform(0, 3), 4)
        paint.polygon(painted, corners, paint.varied(rng, (236, 236, 230), 8))


def _lamps(rng: np.random.Generator, light: np.ndarray) -> None:
    """Add rows of lamps with their glow."""
    height, width = light.shape[:2]
    mask = paint.plain((height, width), (0, 0, 0))
    start, way = rng.uniform(0, 1, 2) * (width, height * 0.5), rng.normal(0, 0.18, 2) * width
    radius = float(rng.uniform(0.006, 0.035)) * width
    for k in range(int(rng.integers(1, 8))):
        place = start + way * k
        paint.disc(mask, (float(place[0]), float(place[1])), radius, paint.pick(rng, _LAMPS))
    lamps = paint.to_light(mask)
    light += paint.blurred(lamps, radius * 0.3) * np.float32(1.6)
    light += paint.blurred(lamps, radius * 4) * np.float32(0.5)
