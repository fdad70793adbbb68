"""Printed marks: frames, bars, rulers, lines of invented signs that look like writing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Bytes

Rng = np.random.Generator
_FONTS = (
    cv2.FONT_HERSHEY_SIMPLEX, cv2.FONT_HERSHEY_COMPLEX, cv2.FONT_HERSHEY_DUPLEX,
    cv2.FONT_HERSHEY_SCRIPT_SIMPLEX,
)  # fmt: skip
_LETTERS = "ABCDEFGHKLMNPRSTUVWXabcdefghiklmnoprstuvwx0123456789   "


def print_marks(rng: Rng, painted: Bytes, px_per_mm: float, *, dark: bool = False) -> None:
    """Print one to four marks on a card.

    Parameters
    ----------
    rng
        Random stream.
    painted
        uint8 (H, W, 3): the card; changed.
    px_per_mm
        Scale.
    dark
        Whether the card is dark, so that the ink is pale.
    """
    ink = paint.varied(rng, (206, 204, 200) if dark else (46, 46, 52), 18)
    for _ in range(int(rng.integers(1, 5))):
        mark = _MARKS[int(rng.integers(len(_MARKS)))]
        mark(rng, painted, px_per_mm, ink)


def words(rng: Rng, least: int = 3, most: int = 22) -> str:
    """Return a meaningless line of letters and digits."""
    count = int(rng.integers(least, most))
    return "".join(_LETTERS[int(k)] for k in rng.integers(0, len(_LETTERS), count)).strip() or "K7"


def write(
    rng: Rng,
    painted: Bytes,
    at: tuple[float, float],
    *,
    height_px: float,
    ink: paint.Colour,
    line: str,
) -> None:
    """Write a line of text with its lower left corner at (x, y)."""
    font = _FONTS[int(rng.integers(len(_FONTS)))]
    cv2.putText(
        painted, line, (round(at[0]), round(at[1])), font, height_px / 22, [float(v) for v in ink],
        max(1, round(height_px / rng.uniform(8, 16))), cv2.LINE_AA,
    )  # fmt: skip


def _frame(rng: Rng, painted: Bytes, ppm: float, ink: paint.Colour) -> None:
    height, width = painted.shape[:2]
    margin = rng.uniform(0.02, 0.12, 4)
    corners = np.array(
        [[margin[0] * width, margin[1] * height], [(1 - margin[2]) * width, margin[1] * height],
         [(1 - margin[2]) * width, (1 - margin[3]) * height],
         [margin[0] * width, (1 - margin[3]) * height], [margin[0] * width, margin[1] * height]]
    ) + rng.normal(0, 0.006, (5, 2)) * (width, height)  # fmt: skip
    corners[4] = corners[0]
    paint.stroke(painted, corners, ink, rng.uniform(0.15, 0.7) * ppm)


def _bar(rng: Rng, painted: Bytes, ppm: float, ink: paint.Colour) -> None:
    """Print a bar, plain, chequered or ticked like a ruler."""
    height, width = painted.shape[:2]
    upright = chance(rng, 0.6)
    long, wide = rng.uniform(15, 100) * ppm, rng.uniform(2, 10) * ppm
    corner = rng.uniform(0.02, 0.9, 2) * (width, height)
    size = np.array([wide, long] if upright else [long, wide])
    step = np.array([0.0, 1.0] if upright else [1.0, 0.0])
    grey = tuple(v + (128 - v) * rng.uniform(0, 0.6) for v in ink)
    box = np.array([[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]]) * size + corner
    style = rng.random()
    if style < 0.35:  # noqa: PLR2004  (share)
        paint.polygon(painted, box, grey)
        return
    paint.stroke(painted, box, ink, 0.2 * ppm)
    pitch = float(rng.choice((1.0, 2.0, 5.0, 10.0))) * ppm
    for k in range(int(long / pitch)):
        start = corner + step * k * pitch
        if style < 0.6:  # noqa: PLR2004
            if k % 2:
                paint.polygon(painted, np.array([[0, 0], [1, 0], [1, 1], [0, 1]])
                              * (size * (1 - step) + step * pitch) + start, ink)  # fmt: skip
        else:
            reach = 0.6 if k % 5 == 0 else 0.35
            paint.stroke(painted, np.stack((start, start + size * (1 - step) * reach)), ink, 1)


def _writing(rng: Rng, painted: Bytes, ppm: float, ink: paint.Colour) -> None:
    height, width = painted.shape[:2]
    size = rng.uniform(1.2, 6) * ppm
    x, y = rng.uniform(0.0, 0.8) * width, rng.uniform(0.03, 0.95) * height
    for k in range(int(rng.integers(1, 5))):
        write(rng, painted, (x, y + k * size * 1.6), height_px=size, ink=ink, line=words(rng))


def _squares(rng: Rng, painted: Bytes, ppm: float, ink: paint.Colour) -> None:
    """Print a block of black and white squares or a row of stripes."""
    height, width = painted.shape[:2]
    corner = rng.uniform(0, 0.85, 2) * (width, height)
    cell, count = rng.uniform(0.4, 1.3) * ppm, int(rng.integers(6, 26))
    rows = count if chance(rng, 0.6) else 1
    tall = cell if rows > 1 else rng.uniform(4, 12) * ppm
    for row in range(rows):
        for column in range(count):
            if chance(rng, 0.5):
                box = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * (cell, tall)
                paint.polygon(painted, box + corner + (column * cell, row * cell), ink)


_MARKS = (_frame, _bar, _bar, _writing, _writing, _squares)
