"""A field behind the spike: sky, soil, blades, stems and spikes out of focus."""

from __future__ import annotations

import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds import plants
from spikecheck.synthetic.compose.backgrounds.backdrop import Backdrop, Site
from spikecheck.synthetic.randomness import chance

_COARSE = 4  # everything is out of focus: a quarter of the pixels does


def draw_field(site: Site) -> Backdrop:
    """Return a field, painted from far to near, each layer less blurred than the one behind."""
    rng = site.rng
    shape = (site.shape[0] // _COARSE + 1, site.shape[1] // _COARSE + 1)
    ppm = site.px_per_mm / _COARSE
    colours = plants.palette(rng)
    ground = plants.SOILS if chance(rng, 0.5) else colours
    painted = paint.plain(shape, paint.varied(rng, paint.pick(rng, ground), 14))
    plants.blots(painted, rng, ground + colours, count=60, radius_px=(2 * ppm, 9 * ppm))
    if chance(rng, 0.35):
        _sky(painted, rng)
    softness = float(rng.uniform(0.3, 2.4))  # mm, of the nearest layer
    far = _blurred(painted, softness * 2.2 * ppm)
    plants.blades(
        far,
        rng,
        colours,
        count=int(rng.integers(10, 70)),
        half_px=(0.5 * ppm, 2.5 * ppm),
        length_px=(10 * ppm, 60 * ppm),
        upright=0.7,
    )
    if chance(rng, 0.6):
        plants.stems(far, rng, colours, count=int(rng.integers(2, 14)),
                     thick_px=(0.5 * ppm, 1.6 * ppm), headed=0.6)  # fmt: skip
    middle = _blurred(far, softness * 1.4 * ppm)
    if chance(rng, 0.75):
        plants.blades(
            middle,
            rng,
            colours,
            count=int(rng.integers(2, 12)),
            half_px=(1.5 * ppm, 5 * ppm),
            length_px=(25 * ppm, 120 * ppm),
            upright=0.8,
        )
    if chance(rng, 0.5):
        plants.stems(middle, rng, colours, count=int(rng.integers(1, 5)),
                     thick_px=(1.2 * ppm, 2.6 * ppm), headed=0.5)  # fmt: skip
    light = paint.blurred(paint.to_light(middle), softness * ppm)
    light = paint.mottled(rng, light, 30 * ppm, 0.14, 2)
    if chance(rng, 0.2):
        _bokeh(rng, light, ppm)
    return Backdrop(site.ambience.on(paint.grown(light, site.shape)), None)


def _blurred(painted: np.ndarray, sigma_px: float) -> np.ndarray:
    import cv2

    return np.asarray(cv2.GaussianBlur(painted, (0, 0), max(sigma_px, 0.3)), np.uint8)


def _sky(painted: np.ndarray, rng: np.random.Generator) -> None:
    """Paint sky down to a horizon that may be tilted."""
    height, width = painted.shape[:2]
    left, right = rng.uniform(0.1, 0.6) * height + rng.normal(0, 0.06, 2) * height
    corners = np.array([[0, 0], [width, 0], [width, right], [0, left]], np.float32)
    paint.polygon(painted, corners, paint.varied(rng, paint.pick(rng, plants.SKIES), 10))
    for _ in range(int(rng.integers(0, 25))):  # trees, sheds
        x = rng.uniform(0, width)
        paint.disc(
            painted,
            (x, left + (right - left) * x / width),
            rng.uniform(0.01, 0.06) * height,
            paint.varied(rng, paint.pick(rng, plants.GREENS), 18),
        )


def _bokeh(rng: np.random.Generator, light: np.ndarray, ppm: float) -> None:
    """Add discs of light: gaps in a canopy, drops, far out of focus."""
    height, width = light.shape[:2]
    radius = float(rng.uniform(1.5, 4.5)) * ppm
    mask = paint.plain((height, width), (0, 0, 0))
    for _ in range(int(rng.integers(4, 40))):
        value = float(rng.uniform(20, 110))
        place = (rng.uniform(0, width), rng.uniform(0, height * 0.8))
        paint.disc(mask, place, radius * rng.uniform(0.8, 1.2), (value, value, value))
    light += paint.blurred(paint.to_light(mask), 0.15 * radius) * np.float32(1.5)
