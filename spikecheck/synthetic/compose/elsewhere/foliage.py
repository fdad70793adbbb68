"""Leaves and crops from near and far: grass, canopies from above, broad leaves, panicles."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds import plants
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    from spikecheck.synthetic.compose.elsewhere.canvas import Canvas

_DEEP_GREENS = (
    (40, 84, 40),
    (58, 110, 62),
    (70, 128, 60),
    (48, 96, 74),
    (92, 140, 70),
    (30, 62, 34),
)


def grass(canvas: Canvas) -> None:
    """Fill the picture with grass blades, dark ones first."""
    rng, unit = canvas.rng, canvas.unit
    colours = _DEEP_GREENS if chance(rng, 0.6) else plants.palette(rng)
    canvas.painted[:] = paint.varied(rng, (30, 40, 24), 10)
    size = float(rng.uniform(0.6, 3.0))
    count = int(rng.integers(70, 200))
    foot = canvas.spot() if chance(rng, 0.4) else None  # one tuft, or blades everywhere
    for k in range(count):
        start = (
            foot
            if foot is not None
            else (
                float(rng.uniform(-0.1, 1.1)) * canvas.width,
                float(rng.uniform(0.1, 1.3)) * canvas.height,
            )
        )
        line = paint.curve(start, -np.pi / 2 + rng.normal(0, 0.7), rng.uniform(30, 110) * unit,
                           rng.normal(0, 1.3), count=14)  # fmt: skip
        shade = 0.55 + 0.5 * k / count
        colour = np.asarray(paint.varied(rng, paint.pick(rng, colours), 12)) * shade
        paint.blade(canvas.painted, rng, line, size * unit * rng.uniform(0.5, 1.3), colour)


def canopy(canvas: Canvas) -> None:
    """Paint a crop from above: blades every way, and many small spikes with or without awns."""
    rng, unit = canvas.rng, canvas.unit
    colours = plants.GREENS + _DEEP_GREENS if chance(rng, 0.6) else plants.STRAWS + plants.GREENS
    canvas.painted[:] = (
        paint.varied(rng, paint.pick(rng, plants.SOILS), 12)
        if chance(rng, 0.4)
        else (paint.varied(rng, (34, 36, 22), 8))
    )
    for _ in range(int(rng.integers(60, 170))):
        line = paint.curve(canvas.spot(-0.1), rng.uniform(0, 6.3), rng.uniform(15, 60) * unit,
                           rng.normal(0, 0.9), count=9)  # fmt: skip
        colour = np.asarray(paint.varied(rng, paint.pick(rng, colours), 14)) * rng.uniform(0.5, 1.1)
        paint.blade(canvas.painted, rng, line, rng.uniform(0.5, 1.8) * unit, colour)
    ripe = chance(rng, 0.6)
    tints = ((226, 196, 120), (236, 216, 160), (206, 160, 90)) if ripe else (
        (170, 184, 120), (140, 162, 96), (186, 190, 140)
    )  # fmt: skip
    size, awned = float(rng.uniform(1.4, 4.2)), float(rng.choice((0.0, 0.9)))
    for _ in range(int(rng.integers(6, 34))):
        colour = paint.varied(rng, paint.pick(rng, tints), 14)
        wide = size * unit * rng.uniform(0.7, 1.2)
        plants.head(
            canvas.painted, rng, canvas.spot(-0.05), angle=rng.uniform(0, 6.3), wide_px=wide,
            srgb=colour, awned=awned,
        )  # fmt: skip


def broad_leaves(canvas: Canvas) -> None:
    """Paint broad leaves with veins, one over the other."""
    rng, unit = canvas.rng, canvas.unit
    canvas.painted[:] = paint.varied(rng, paint.pick(rng, plants.SOILS + _DEEP_GREENS), 10)
    tint = paint.pick(rng, _DEEP_GREENS + plants.GREENS)
    for _ in range(int(rng.integers(8, 60))):
        size = rng.uniform(6, 26) * unit
        _leaf(canvas, canvas.spot(-0.1), rng.uniform(0, 6.3), size, paint.varied(rng, tint, 16))


def _leaf(
    canvas: Canvas,
    at: tuple[float, float],
    angle: float,
    half: float,
    srgb: paint.Colour,
) -> None:
    rng = canvas.rng
    wide = half * rng.uniform(0.35, 0.75)
    outline = paint.ellipse_points(at, (half, wide), angle, 26)
    notch = 1 + 0.06 * np.cos(np.arange(26) * rng.integers(2, 7))[:, None]
    outline = (outline - at) * notch + at
    paint.polygon(canvas.painted, outline + canvas.unit * 0.6, np.asarray(srgb) * 0.35)
    paint.polygon(canvas.painted, outline, srgb)
    step = np.array([np.cos(angle), np.sin(angle)])
    side = np.array([-step[1], step[0]])
    lit = np.clip(np.asarray(srgb) * rng.uniform(1.12, 1.4) + 8, 0, 255)
    halved = np.concatenate((outline[:14], outline[:1]))
    paint.polygon(
        canvas.painted, halved, np.clip(np.asarray(srgb) * rng.uniform(0.85, 1.12), 0, 255)
    )
    paint.stroke(canvas.painted, np.stack((at - step * half, at + step * half)), lit, half * 0.04)
    for k in np.linspace(-0.7, 0.6, int(rng.integers(4, 9))):
        start = np.asarray(at) + step * half * k
        for way in (-1, 1):
            end = start + step * half * 0.3 + side * way * wide * 0.8 * (1 - abs(k))
            paint.stroke(canvas.painted, np.stack((start, end)), lit, max(1.0, half * 0.018))


def flowers(canvas: Canvas) -> None:
    """Paint clusters of small flowers on stems."""
    rng, unit = canvas.rng, canvas.unit
    petals = paint.pick(rng, ((240, 206, 40), (250, 226, 70), (236, 236, 230), (222, 120, 170),
                              (150, 120, 200), (236, 150, 60)))  # fmt: skip
    for _ in range(int(rng.integers(2, 12))):
        foot = (
            float(rng.uniform(0, 1)) * canvas.width,
            float(rng.uniform(0.6, 1.2)) * canvas.height,
        )
        line = paint.curve(foot, -np.pi / 2 + rng.normal(0, 0.2), rng.uniform(30, 110) * unit,
                           rng.normal(0, 0.5))  # fmt: skip
        stem = paint.varied(rng, paint.pick(rng, plants.GREENS), 12)
        paint.stroke(canvas.painted, line, stem, rng.uniform(0.4, 1.3) * unit)
        spread, count = rng.uniform(3, 10) * unit, int(rng.integers(4, 26))
        size = rng.uniform(0.8, 3.2) * unit
        for _ in range(count):
            at = line[-1] + rng.normal(0, 1, 2) * spread
            _flower(canvas, (float(at[0]), float(at[1])), size * rng.uniform(0.6, 1.2), petals)


def _flower(
    canvas: Canvas, at: tuple[float, float], size: float, srgb: tuple[int, int, int]
) -> None:
    rng, count = canvas.rng, int(canvas.rng.choice((4, 5, 6)))
    turn = rng.uniform(0, 6.3)
    for k in range(count):
        angle = turn + 2 * np.pi * k / count
        middle = (at[0] + np.cos(angle) * size * 0.55, at[1] + np.sin(angle) * size * 0.55)
        colour = np.clip(np.asarray(paint.varied(rng, srgb, 10)) * rng.uniform(0.8, 1.05), 0, 255)
        paint.polygon(
            canvas.painted,
            paint.ellipse_points(middle, (size * 0.6, size * 0.36), angle, 12),
            colour,
        )
    paint.disc(canvas.painted, at, size * 0.2, paint.varied(rng, (190, 170, 60), 12))


def panicles(canvas: Canvas) -> None:
    """Paint loose panicles: thin branches that end in grains."""
    rng, unit = canvas.rng, canvas.unit
    tint = paint.pick(rng, plants.STRAWS + plants.GREENS)
    for _ in range(int(rng.integers(1, 6))):
        foot = (float(rng.uniform(0.1, 0.9)) * canvas.width, canvas.height * 1.02)
        line = paint.curve(foot, -np.pi / 2 + rng.normal(0, 0.25), rng.uniform(60, 130) * unit,
                           rng.normal(0, 1.0), count=24)  # fmt: skip
        colour = paint.varied(rng, tint, 10)
        paint.stroke(canvas.painted, line, colour, rng.uniform(0.5, 1.4) * unit)
        for k in range(8, 24):
            for _ in range(int(rng.integers(1, 4))):
                way = line[k] - line[k - 1]
                angle = float(np.arctan2(way[1], way[0]) + rng.normal(0, 0.9))
                branch = paint.curve(
                    (float(line[k][0]), float(line[k][1])),
                    angle,
                    rng.uniform(4, 22) * unit,
                    rng.normal(0.6, 0.8),
                    8,
                )
                paint.stroke(canvas.painted, branch, colour, 0.25 * unit)
                for grain in branch[3:]:
                    half = (rng.uniform(0.8, 1.7) * unit, rng.uniform(0.35, 0.6) * unit)
                    place = (
                        float(grain[0] + rng.normal(0, unit)),
                        float(grain[1] + rng.normal(0, unit)),
                    )
                    paint.polygon(
                        canvas.painted,
                        paint.ellipse_points(place, half, angle + rng.normal(0, 0.5), 10),
                        np.clip(np.asarray(colour) * rng.uniform(0.75, 1.25), 0, 255),
                    )
