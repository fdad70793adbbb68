"""Places and objects: boards with writing, rooms, landscapes, soil, tools, plain colour."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds import plants
from spikecheck.synthetic.compose.print_marks import print_marks, words, write
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from spikecheck.synthetic.compose.elsewhere.canvas import Canvas

_WALLS = ((220, 216, 206), (190, 200, 206), (206, 190, 170), (120, 126, 130), (236, 236, 234),
          (150, 120, 96), (60, 66, 76))  # fmt: skip


def board(canvas: Canvas) -> None:
    """Paint a board with lines of invented writing on a post."""
    rng, unit = canvas.rng, canvas.unit
    at, angle = np.asarray(canvas.spot(0.3)), float(rng.normal(0, 0.08))
    wide, high = rng.uniform(15, 42) * unit, rng.uniform(10, 30) * unit
    post = np.array([[at[0], at[1]], [at[0] + rng.normal(0, 2) * unit, at[1] + 90 * unit]])
    paint.stroke(
        canvas.painted, post, paint.varied(rng, (110, 90, 70), 16), rng.uniform(1, 4) * unit
    )
    side = (round(2 * high), round(2 * wide))
    sign = paint.plain(
        side,
        paint.varied(
            rng,
            paint.pick(rng, ((240, 240, 236), (236, 220, 120), (120, 170, 120), (60, 90, 150))),
            8,
        ),
    )
    ink = (30.0, 30.0, 36.0) if sign.mean() > 120 else (240.0, 240.0, 236.0)  # noqa: PLR2004
    size = high * rng.uniform(0.12, 0.3)
    for y in np.arange(size * 1.6, side[0] - size * 0.3, size * 1.7):
        write(rng, sign, (wide * 0.1, float(y)), height_px=size, ink=ink, line=words(rng, 5, 24))
    turn = cv2.getRotationMatrix2D((wide, high), float(np.degrees(angle)), 1.0)
    turn = turn + np.column_stack((np.zeros((2, 2)), at - (wide, high)))
    mask = cv2.warpAffine(np.full(side, 255, np.uint8), turn, (canvas.width, canvas.height))
    laid = cv2.warpAffine(sign, turn, (canvas.width, canvas.height))
    canvas.painted[mask > 127] = laid[mask > 127]  # noqa: PLR2004


def room(canvas: Canvas) -> None:
    """Paint a room or street: walls, doors, shelves, windows as boxes with edges."""
    rng = canvas.rng
    canvas.painted[:] = paint.varied(rng, paint.pick(rng, _WALLS), 10)
    horizon = rng.uniform(0.5, 0.85) * canvas.height
    floor = np.array([[0, horizon], [canvas.width, horizon + rng.normal(0, 0.05) * canvas.height],
                      [canvas.width, canvas.height], [0, canvas.height]])  # fmt: skip
    paint.polygon(canvas.painted, floor, paint.varied(rng, paint.pick(rng, _WALLS), 20))
    for _ in range(int(rng.integers(4, 30))):
        x, y = canvas.spot(-0.1)
        wide, high = rng.uniform(0.02, 0.35) * canvas.width, rng.uniform(0.02, 0.35) * canvas.height
        lean = rng.normal(0, 0.1) * high
        box = np.array(
            [[x, y], [x + wide, y + lean], [x + wide, y + high + lean * 0.5], [x, y + high]]
        )
        colour = paint.varied(rng, rng.uniform(20, 240, 3), 10) if chance(rng, 0.3) else (
            paint.varied(rng, paint.pick(rng, _WALLS), 26)
        )  # fmt: skip
        paint.polygon(canvas.painted, box, colour)
        if chance(rng, 0.5):
            edge = np.concatenate((box, box[:1]))
            paint.stroke(canvas.painted, edge, np.asarray(colour) * 0.5, rng.uniform(1, 6))


def landscape(canvas: Canvas) -> None:
    """Paint sky, a line of trees and sheds, and plots or rows that run to the horizon."""
    rng = canvas.rng
    canvas.painted[:] = paint.varied(rng, paint.pick(rng, plants.SKIES), 12)
    horizon = rng.uniform(0.1, 0.5) * canvas.height
    ground = paint.varied(rng, paint.pick(rng, plants.palette(rng)), 12)
    floor = np.array([[0, horizon], [canvas.width, horizon], [canvas.width, canvas.height],
                      [0, canvas.height]])  # fmt: skip
    paint.polygon(canvas.painted, floor, ground)
    for _ in range(int(rng.integers(10, 60))):
        place = (
            float(rng.uniform(0, canvas.width)),
            float(horizon - rng.uniform(0, 3) * canvas.unit),
        )
        colour = paint.varied(rng, paint.pick(rng, plants.GREENS), 16)
        paint.disc(canvas.painted, place, rng.uniform(1, 5) * canvas.unit, np.asarray(colour) * 0.7)
    far = np.array([rng.uniform(-0.2, 1.2) * canvas.width, horizon])
    for x in np.linspace(-1.5, 2.5, int(rng.integers(10, 50))):
        row = np.stack((far, (x * canvas.width, canvas.height * 1.02)))
        colour = np.clip(np.asarray(ground) * rng.uniform(0.6, 1.25), 0, 255)
        wide = rng.uniform(0.4, 1.2) * canvas.unit
        paint.polygon(
            canvas.painted,
            np.stack((row[0], row[1] + (wide * 3, 0), row[1] - (wide * 3, 0))),
            colour,
        )
    for _ in range(int(rng.integers(0, 500))):
        y = horizon + (canvas.height - horizon) * rng.uniform(0.05, 1) ** 0.6
        near = (y - horizon) / (canvas.height - horizon)
        line = paint.curve(
            (float(rng.uniform(0, canvas.width)), float(y)),
            -np.pi / 2 + rng.normal(0, 0.4),
            12 * near * canvas.unit + 2,
            rng.normal(0, 0.5),
            4,
        )
        colour = np.clip(np.asarray(ground) * rng.uniform(0.6, 1.4), 0, 255)
        paint.stroke(canvas.painted, line, colour, 1 + near * 0.5 * canvas.unit)


def soil(canvas: Canvas) -> None:
    """Paint soil or gravel: clods and stones of many sizes, a few seedlings."""
    rng, unit = canvas.rng, canvas.unit
    tint = paint.pick(rng, (*plants.SOILS, (150, 146, 140)))
    canvas.painted[:] = paint.varied(rng, tint, 8)
    for _ in range(int(rng.integers(200, 900))):
        size = float(np.exp(rng.normal(0.0, 0.8))) * unit * 0.8
        place = canvas.spot(-0.05)
        colour = np.asarray(paint.varied(rng, tint, 18))
        points = paint.ellipse_points(
            place, (size, size * rng.uniform(0.5, 1)), rng.uniform(0, 3), 7
        )
        paint.polygon(canvas.painted, points + size * 0.25, colour * 0.5)
        paint.polygon(canvas.painted, points, colour)
    if chance(rng, 0.5):
        plants.blades(
            canvas.painted,
            rng,
            plants.GREENS,
            count=int(rng.integers(3, 40)),
            half_px=(0.4 * unit, 1.5 * unit),
            length_px=(5 * unit, 30 * unit),
            upright=1.2,
        )


def plain_colour(canvas: Canvas) -> None:
    """Paint next to nothing: a gradient, a covered lens, soft blots of any colour."""
    rng = canvas.rng
    size = (canvas.height // 8, canvas.width // 8)
    base = rng.uniform(5, 245, 3)
    field = np.empty((*size, 3), np.float32)
    for k in range(3):
        field[..., k] = base[k] + rng.uniform(0, 45) * layered(
            rng, size, max(size) * rng.uniform(0.2, 1), 2
        )
    field += (rng.uniform(0, 40) * layered(rng, size, max(size) * 0.8, 2))[..., None]
    full = cv2.resize(
        np.clip(field, 0, 255), (canvas.width, canvas.height), interpolation=cv2.INTER_CUBIC
    )
    canvas.painted[:] = np.clip(full, 0, 255).astype(np.uint8)


def tools(canvas: Canvas) -> None:
    """Lay pens, rulers, coins, vials and bags about."""
    rng, unit = canvas.rng, canvas.unit
    for _ in range(int(rng.integers(1, 6))):
        at, angle = canvas.spot(0.1), float(rng.uniform(0, np.pi))
        colour = np.asarray(paint.varied(rng, rng.uniform(20, 240, 3), 8))
        if chance(rng, 0.6):
            half = (rng.uniform(12, 50) * unit, rng.uniform(1, 6) * unit)
            step = np.array([np.cos(angle), np.sin(angle)])
            line = np.stack((np.asarray(at) - step * half[0], np.asarray(at) + step * half[0]))
            paint.stroke(canvas.painted, line + unit, colour * 0.25, 2 * half[1])
            for share in np.linspace(1, 0.15, 8):
                lit = np.clip(colour * (0.5 + 0.7 * (1 - share * share)), 0, 255)
                paint.stroke(canvas.painted, line, lit, 2 * half[1] * share)
        else:
            radius = rng.uniform(3, 16) * unit
            paint.disc(canvas.painted, (at[0] + unit, at[1] + unit), radius, colour * 0.3)
            paint.disc(canvas.painted, at, radius, colour)
            paint.disc(canvas.painted, at, radius * 0.85, np.clip(colour * 1.15 + 8, 0, 255))
    if chance(rng, 0.4):
        print_marks(rng, canvas.painted, unit * 2)
