"""Plants out of focus: blades, stems, spikes and blots of a crop, from far to near."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Bytes

Rng = np.random.Generator

GREENS = ((104, 134, 70), (132, 150, 84), (70, 96, 48), (88, 118, 84), (150, 168, 104),
          (62, 84, 44), (116, 140, 112))  # fmt: skip
STRAWS = ((186, 168, 112), (206, 190, 138), (158, 132, 84), (214, 178, 96), (140, 112, 70))
SOILS = ((88, 72, 56), (116, 92, 68), (66, 54, 46), (138, 116, 92), (78, 70, 66))
SKIES = ((206, 218, 232), (232, 236, 240), (160, 190, 226), (214, 210, 204))


def palette(rng: Rng) -> tuple[tuple[int, int, int], ...]:
    """Return the colours of a crop: green, ripe, or in between."""
    if chance(rng, 0.2):
        return STRAWS
    return GREENS + STRAWS if chance(rng, 0.35) else GREENS


def blades(
    painted: Bytes,
    rng: Rng,
    colours: tuple[tuple[int, int, int], ...],
    *,
    count: int,
    half_px: tuple[float, float],
    length_px: tuple[float, float],
    upright: float,
) -> None:
    """Paint blades that start anywhere; ``upright`` is the spread around upwards, radians."""
    height, width = painted.shape[:2]
    for _ in range(count):
        start = (rng.uniform(-0.15, 1.15) * width, rng.uniform(0.0, 1.3) * height)
        line = paint.curve(
            start, -np.pi / 2 + rng.normal(0, upright), rng.uniform(*length_px),
            rng.normal(0, 1.1), count=9,
        )  # fmt: skip
        paint.blade(
            painted,
            rng,
            line,
            rng.uniform(*half_px),
            paint.varied(rng, paint.pick(rng, colours), 14),
        )


def stems(
    painted: Bytes,
    rng: Rng,
    colours: tuple[tuple[int, int, int], ...],
    *,
    count: int,
    thick_px: tuple[float, float],
    headed: float,
) -> None:
    """Paint stems through the picture, a share ``headed`` of them with a spike on top."""
    height, width = painted.shape[:2]
    for _ in range(count):
        foot = (rng.uniform(-0.1, 1.1) * width, height * 1.05)
        rise = rng.uniform(0.3, 1.2) * height
        line = paint.curve(foot, -np.pi / 2 + rng.normal(0, 0.15), rise, rng.normal(0, 0.4))
        thick = rng.uniform(*thick_px)
        colour = paint.varied(rng, paint.pick(rng, colours), 12)
        paint.stroke(painted, line, colour, thick)
        if chance(rng, headed):
            way = line[-1] - line[-2]
            turn = float(np.arctan2(way[1], way[0]))
            head(painted, rng, line[-1], angle=turn, wide_px=thick * 5, srgb=colour)


def head(
    painted: Bytes,
    rng: Rng,
    foot: tuple[float, float] | np.ndarray,
    *,
    angle: float,
    wide_px: float,
    srgb: paint.Colour,
    awned: float = 0.4,
) -> None:
    """Paint a spike as one sees it from afar: two rows of spikelets, perhaps awns.

    Parameters
    ----------
    painted
        Picture.
    rng
        Random stream.
    foot
        (x, y) of its base, px.
    angle
        Direction from base to tip, radians.
    wide_px
        Width, px.
    srgb
        Its colour.
    awned
        Chance of awns.
    """
    long, count = wide_px * rng.uniform(5, 8), int(rng.integers(9, 14))
    step = np.array([np.cos(angle), np.sin(angle)])
    across = np.array([-step[1], step[0]])
    if chance(rng, awned):
        for _ in range(int(rng.integers(12, 26))):
            start = np.asarray(foot) + step * long * rng.uniform(0.1, 0.95)
            line = paint.curve((float(start[0]), float(start[1])), angle + rng.normal(0, 0.28),
                               long * rng.uniform(0.5, 0.9), 0.0, count=3)  # fmt: skip
            paint.stroke(painted, line, np.clip(np.asarray(srgb) * 1.12, 0, 255), wide_px * 0.04)
    for k in range(count):
        for side in (-1, 1):
            centre = np.asarray(foot) + step * long * (k + 0.5) / count
            centre = centre + across * side * wide_px * 0.22
            half = (long / count * 0.85, wide_px * 0.26 * (1 - 0.35 * k / count))
            shade = rng.uniform(0.85, 1.15)
            paint.polygon(
                painted,
                paint.ellipse_points(
                    (float(centre[0]), float(centre[1])), half, angle + side * 0.35, 10
                ),
                np.clip(np.asarray(srgb) * shade, 0, 255),
            )  # fmt: skip


def blots(
    painted: Bytes,
    rng: Rng,
    colours: tuple[tuple[int, int, int], ...],
    *,
    count: int,
    radius_px: tuple[float, float],
) -> None:
    """Paint round blots: leaves, clods, gaps far out of focus."""
    height, width = painted.shape[:2]
    for _ in range(count):
        place = (rng.uniform(-0.05, 1.05) * width, rng.uniform(-0.05, 1.05) * height)
        paint.disc(
            painted, place, rng.uniform(*radius_px), paint.varied(rng, paint.pick(rng, colours), 16)
        )
