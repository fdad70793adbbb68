"""Harvested things: cobs with rows of kernels, heaps of grain, husks and pods, straw."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds import plants
from spikecheck.synthetic.compose.backgrounds.hand import GLOVES, SKINS
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    from spikecheck.synthetic.compose.elsewhere.canvas import Canvas

_KERNELS = ((232, 180, 50), (226, 196, 110), (196, 80, 50), (236, 222, 190), (120, 60, 90),
            (206, 140, 60))  # fmt: skip


def cobs(canvas: Canvas) -> None:
    """Paint one to three cobs: rows of kernels on a body that narrows to its tip."""
    rng = canvas.rng
    if chance(rng, 0.4):
        kernels(canvas)
    for _ in range(int(rng.choice((1, 1, 1, 2, 3)))):
        _cob(canvas)
    if chance(rng, 0.5):
        hand(canvas)


def _cob(canvas: Canvas) -> None:
    rng, unit = canvas.rng, canvas.unit
    half_long, half_wide = rng.uniform(22, 55) * unit, rng.uniform(5, 13) * unit
    at, angle = np.asarray(canvas.spot(0.3)), rng.uniform(0, 6.3)
    step = np.array([np.cos(angle), np.sin(angle)])
    side = np.array([-step[1], step[0]])
    core = paint.varied(rng, (190, 150, 100), 14)
    outline = paint.ellipse_points((float(at[0]), float(at[1])), (half_long, half_wide), angle, 30)
    paint.polygon(canvas.painted, outline + unit, (30, 26, 22))
    paint.polygon(canvas.painted, outline, np.asarray(core) * 0.7)
    tint, rows = paint.pick(rng, _KERNELS), int(rng.integers(7, 15))
    pitch = 2.4 * half_wide / rows * rng.uniform(0.8, 1.2)
    for t in np.arange(-half_long * 0.97, half_long * 0.97, pitch):
        wide = half_wide * np.sqrt(max(0.0, 1 - (t / half_long) ** 2)) ** rng.uniform(0.6, 0.75)
        for row in range(rows):
            v = np.sin(np.pi * ((row + 0.5) / rows - 0.5))
            middle = at + step * (t + rng.normal(0, 0.06) * pitch) + side * v * wide
            lit = 0.45 + 0.6 * np.sqrt(1 - v * v) + 0.12 * v
            colour = np.clip(np.asarray(paint.varied(rng, tint, 10)) * lit, 0, 255)
            half = (pitch * 0.52, 1.5 * wide / rows * np.sqrt(1 - v * v) + 0.8)
            place = (float(middle[0]), float(middle[1]))
            paint.polygon(canvas.painted, paint.ellipse_points(place, half, angle, 10), colour)
            if abs(v) < 0.6 and unit > 5:  # noqa: PLR2004  (a highlight near the middle)
                paint.disc(canvas.painted, place, pitch * 0.12, np.clip(colour * 1.35 + 20, 0, 255))


def kernels(canvas: Canvas) -> None:
    """Fill a rectangle of the picture, such as a box, with loose grain."""
    rng, unit = canvas.rng, canvas.unit
    x0, y0 = canvas.spot()
    half = np.array([rng.uniform(20, 80), rng.uniform(20, 80)]) * unit
    tint, size = paint.pick(rng, _KERNELS), rng.uniform(0.7, 2.0) * unit
    box = paint.ellipse_points((x0, y0), (float(half[0]) * 1.2, float(half[1]) * 1.2), 0.8, 4)
    paint.polygon(canvas.painted, box, paint.varied(rng, (220, 222, 224), 12))
    count = int(min(2600, 1.6 * half[0] * half[1] / size**2))
    for _ in range(count):
        place = np.array([x0, y0]) + rng.uniform(-0.8, 0.8, 2) * half
        colour = np.clip(np.asarray(paint.varied(rng, tint, 16)) * rng.uniform(0.6, 1.1), 0, 255)
        points = paint.ellipse_points(
            (float(place[0]), float(place[1])), (size, size * 0.7), rng.uniform(0, 3.2), 8
        )
        paint.polygon(canvas.painted, points, colour)


def husks(canvas: Canvas) -> None:
    """Paint long husks or pods side by side, with fibres along them and pointed ends."""
    rng, unit = canvas.rng, canvas.unit
    angle, count = rng.uniform(0, np.pi), int(rng.integers(1, 9))
    tint = paint.pick(rng, ((178, 200, 120), (150, 180, 100), (206, 214, 160), (110, 150, 70),
                            (196, 180, 120)))  # fmt: skip
    step = np.array([np.cos(angle), np.sin(angle)])
    side = np.array([-step[1], step[0]])
    gap, wide = rng.uniform(9, 16) * unit, rng.uniform(2, 6) * unit
    middle = np.array([canvas.width, canvas.height]) / 2
    for k in range(count):
        long = rng.uniform(40, 90) * unit
        start = (
            middle
            + side * (k - (count - 1) / 2) * gap
            - step * long / 2
            + rng.normal(0, 3, 2) * unit
        )
        line = paint.curve((float(start[0]), float(start[1])), angle + rng.normal(0, 0.05), long,
                           rng.normal(0, 0.12), 20)  # fmt: skip
        colour = np.asarray(paint.varied(rng, tint, 10))
        paint.blade(canvas.painted, rng, line + unit * 0.8, wide * 1.1, (28, 22, 20))
        paint.blade(canvas.painted, rng, line, wide * 1.15, colour * 0.8)
        paint.blade(canvas.painted, rng, line, wide * 0.95, np.clip(colour, 0, 255))
        for _ in range(int(rng.integers(4, 12))):
            shift = side * rng.uniform(-0.6, 0.6) * wide
            fibre = np.clip(colour * rng.uniform(0.85, 1.2), 0, 255)
            paint.stroke(canvas.painted, line[1:-3] + shift, fibre, max(1.0, 0.12 * unit))
        if chance(rng, 0.5):
            strands(canvas, line[-1], angle, wide * 2.5)


def strands(canvas: Canvas, at: np.ndarray, angle: float, long_px: float) -> None:
    """Paint a tuft of fine strands."""
    rng = canvas.rng
    tint = paint.pick(rng, ((206, 190, 120), (150, 90, 60), (190, 90, 110), (220, 214, 170)))
    for _ in range(int(rng.integers(20, 70))):
        line = paint.curve((float(at[0]), float(at[1])), angle + rng.normal(0, 0.5),
                           long_px * rng.uniform(0.5, 1.5), rng.normal(0, 1.5), 8)  # fmt: skip
        paint.stroke(canvas.painted, line, paint.varied(rng, tint, 14), 1)


def straw(canvas: Canvas) -> None:
    """Fill the picture with straw, hay or chaff."""
    rng, unit = canvas.rng, canvas.unit
    colours = plants.STRAWS if chance(rng, 0.8) else plants.GREENS
    canvas.painted[:] = paint.varied(rng, (70, 54, 36), 10)
    thick = rng.uniform(0.3, 2.0) * unit
    for k in range(int(rng.integers(150, 500))):
        line = paint.curve(canvas.spot(-0.1), rng.uniform(0, 6.3), rng.uniform(8, 60) * unit,
                           rng.normal(0, 0.25), 4)  # fmt: skip
        shade = 0.5 + 0.6 * k / 500
        colour = np.clip(
            np.asarray(paint.varied(rng, paint.pick(rng, colours), 16)) * shade, 0, 255
        )
        paint.stroke(canvas.painted, line, colour, thick * rng.uniform(0.5, 1.4))


def hand(canvas: Canvas) -> None:
    """Paint a few fingers from one border, as of a hand that holds or shows something."""
    rng, unit = canvas.rng, canvas.unit
    tint = paint.pick(rng, SKINS if chance(rng, 0.7) else GLOVES)
    colour = np.asarray(paint.varied(rng, tint, 8))
    at, angle = np.asarray(canvas.spot(0.25)), float(rng.uniform(0, 6.3))
    step = np.array([np.cos(angle), np.sin(angle)])
    side = np.array([-step[1], step[0]])
    wide = rng.uniform(5, 11) * unit
    for k in range(int(rng.integers(1, 5))):
        tip = (
            at + side * (k - 1.5) * wide * 1.9 - step * abs(k - 1.2) * wide * rng.uniform(0.2, 0.8)
        )
        line = np.stack((tip - step * 160 * unit, tip))
        for share in np.linspace(1, 0.1, 10):  # darker at the sides than along the middle
            lit = np.clip(colour * (0.5 + 0.55 * np.sqrt(1 - share * share * 0.95)), 0, 255)
            paint.stroke(
                canvas.painted, line + side * (1 - share) * wide * 0.15, lit, 2 * wide * share
            )
        if chance(rng, 0.5):
            nail = tip + step * wide * 0.3
            paint.polygon(
                canvas.painted,
                paint.ellipse_points(
                    (float(nail[0]), float(nail[1])), (wide * 0.6, wide * 0.5), angle
                ),
                np.clip(colour * 1.1 + (14, 4, 4), 0, 255),
            )
