"""What an emasculated floret keeps inside: ovary, two feathery stigmas, stubs of filaments."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.colour import linear, mixed
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Bytes, Floats
    from spikecheck.synthetic.brush import Brush
    from spikecheck.synthetic.frame import Patch
    from spikecheck.synthetic.opening import Opening

_FINE = 3  # threads are drawn this much finer than the picture and averaged
_SUB = 16  # cv2 takes sub-pixel places as whole sixteenths


class _Threads:
    """A finer sheet over a patch on which thin threads are drawn."""

    def __init__(self, patch: Patch) -> None:
        self.patch = patch
        height, width = patch.t.shape
        self.sheet: Bytes = np.zeros((height * _FINE, width * _FINE), np.uint8)

    def _pixel(self, t_mm: float, s_mm: float) -> tuple[int, int]:
        patch = self.patch
        row, column = patch.pose.place(t_mm, s_mm, patch.px_per_mm)
        scale = _FINE * _SUB
        return (
            round((column - patch.left + 0.5) * scale), round((row - patch.top + 0.5) * scale),
        )  # fmt: skip

    def draw(
        self, start: tuple[float, float], end: tuple[float, float], width_mm: float, value: int
    ) -> None:
        """Draw a thread between two places (t, s), mm."""
        thick = max(1, round(width_mm * self.patch.px_per_mm * _FINE))
        ends = self._pixel(*start), self._pixel(*end)
        cv2.line(self.sheet, *ends, (value,), thick, cv2.LINE_AA, 4)

    def cover(self) -> Floats:
        """Return the cover, 0..1, at the picture's scale."""
        height, width = self.patch.t.shape
        small = cv2.resize(self.sheet, (width, height), interpolation=cv2.INTER_AREA)
        return np.asarray(small, np.float32) / np.float32(255)


def draw_pistil(brush: Brush, patch: Patch, opening: Opening, window: Floats) -> None:
    """Draw what stands in an emasculated floret.

    Parameters
    ----------
    brush, patch, opening
        Where and what.
    window
        float32 array of shape (H, W): where the inside can be seen, 0..1.
    """
    rng, light = brush.rng, brush.canvas.light
    a, b = opening.half_across_mm, opening.half_along_mm
    s0 = float(rng.normal(0, 0.2)) * a
    t0 = opening.centre_mm - b * float(rng.uniform(0.4, 1.0))
    if chance(rng, 0.75):
        _draw_ovary(brush, patch, (t0, s0), (a, b), window)
    plume = _plume(rng, patch, (t0 + 0.15 * b, s0), (a, b))
    if chance(rng, 0.3):
        plume = np.maximum(plume, _stubs(rng, patch, (t0, s0), (a, b)))
    depth = np.clip((patch.t - opening.centre_mm) / (b * 1.5) + 0.85, 0.35, 1.15)[..., None]
    glow = np.asarray(light.key, np.float32) * 0.8 + np.asarray(light.sky, np.float32) * 0.7
    colour = linear((242, 243, 232)) * depth * glow
    brush.canvas.stamp(patch, plume * window * np.float32(rng.uniform(0.35, 0.9)), colour,
                       shadow=0.12, reach_mm=0.12, decoration=True)  # fmt: skip


def _draw_ovary(
    brush: Brush, patch: Patch, centre: tuple[float, float], size: tuple[float, float],
    window: Floats,
) -> None:  # fmt: skip
    """Draw the pale, hairy-topped ovary."""
    rng = brush.rng
    half_s = 0.36 * size[0] * rng.uniform(0.7, 1.2)
    half_t = 0.5 * size[1] * rng.uniform(0.7, 1.1)
    p, q = (patch.s - centre[1]) / half_s, (patch.t - centre[0]) / half_t
    lumpy = 1 + 0.12 * layered(rng, p.shape, 0.5 * patch.px_per_mm, 2)
    inside = (lumpy - np.sqrt(p * p + q * q)) * min(half_s, half_t)
    # Hairy on top: its edge is soft.
    cover = np.clip(inside * patch.px_per_mm * 0.35 + 0.3, 0, 1) * rng.uniform(0.5, 0.9)
    shown = np.clip(0.5 + 0.5 * q, 0, 1)
    colour = mixed(linear((150, 172, 96)), linear((214, 220, 180)), shown)
    surface = Surface(colour * (0.25 + 0.5 * shown)[..., None], p * 0.8, q * 0.8,
                      thin=0.4, gloss=0.05)  # fmt: skip
    rgb = lit(surface, patch, brush.canvas.light)
    brush.canvas.stamp(patch, cover * window, rgb, shadow=0.15, reach_mm=0.15, decoration=True)


def _plume(
    rng: np.random.Generator, patch: Patch, foot: tuple[float, float], size: tuple[float, float]
) -> Floats:
    """Return the cover of two feathery branches, shape (H, W)."""
    threads = _Threads(patch)
    for side in (-1, 1):
        length, spread = rng.uniform(0.6, 1.6) * size[1], side * rng.uniform(0.2, 0.75) * size[0]
        curl = rng.normal(0, 0.25)
        steps = np.linspace(0, 1, 16)
        spine = [(foot[0] + length * x, foot[1] + spread * (x + curl * x * (1 - x))) for x in steps]
        for (t, s), x in zip(spine, steps, strict=True):
            for _ in range(6):
                reach = rng.uniform(0.12, 0.34) * (1.1 - 0.6 * x)
                turn = rng.uniform(-1.2, 1.2) + side * 0.3
                end = (t + reach * np.cos(turn), s + reach * np.sin(turn))
                threads.draw((t, s), end, 0.03, 200)
        for start, end in pairwise(spine):
            threads.draw(start, end, 0.045, 250)
    return threads.cover()


def _stubs(
    rng: np.random.Generator, patch: Patch, foot: tuple[float, float], size: tuple[float, float]
) -> Floats:
    """Return the cover of filaments whose anthers were pulled off, shape (H, W)."""
    threads = _Threads(patch)
    for _ in range(int(rng.integers(1, 4))):
        start = foot[0], foot[1] + float(rng.normal(0, 0.3)) * size[0]
        middle = (start[0] + rng.uniform(0.4, 0.8) * size[1],
                  start[1] + rng.normal(0, 0.3) * size[0])  # fmt: skip
        end = (middle[0] + rng.uniform(0.1, 0.6) * size[1],
               middle[1] + rng.normal(0, 0.3) * size[0])  # fmt: skip
        threads.draw(start, middle, 0.09, 220)
        threads.draw(middle, end, 0.07, 200)
    return threads.cover()
