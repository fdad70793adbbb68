"""The ovary and its two feathery stigma branches, left in the emasculated floret."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.colour import linear, mixed
from spikecheck.synthetic.light import Surface, lit
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.canvas import Canvas
    from spikecheck.synthetic.frame import Patch
    from spikecheck.synthetic.opening import Opening

_FINE = 3  # the plume is drawn this much finer than the picture and averaged


def draw_pistil(
    canvas: Canvas,
    rng: np.random.Generator,
    patch: Patch,
    opening: Opening,
    window: NDArray[np.float32],
) -> None:
    """Draw ovary and stigma branches inside the opening.

    Parameters
    ----------
    canvas
        Where to draw.
    rng
        Random stream.
    patch
        The floret's patch.
    opening
        The cut opening.
    window
        float32 array of shape (H, W): where the inside can be seen, 0..1.
    """
    a, b = opening.half_across_mm, opening.half_along_mm
    s0 = rng.normal(0, 0.2) * a
    t0 = opening.centre_mm - b * rng.uniform(0.4, 1.0)
    if rng.random() < 0.75:
        _draw_ovary(canvas, rng, patch, (t0, s0), a, b, window)
    plume = _plume(rng, patch, (t0 + 0.15 * b, s0), a, b)
    depth = np.clip((patch.t - opening.centre_mm) / (b * 1.5) + 0.8, 0.3, 1.1)[..., None]
    glow = np.float32(canvas.light.key) * 0.7 + np.float32(canvas.light.sky) * 0.6
    colour = linear((240, 241, 228)) * depth * glow
    strength = rng.uniform(0.45, 0.9)
    canvas.stamp(
        patch, plume * window * np.float32(strength), colour.astype(np.float32),
        shadow=0.12, reach_mm=0.12, decoration=True,
    )  # fmt: skip


def _draw_ovary(
    canvas: Canvas,
    rng: np.random.Generator,
    patch: Patch,
    centre: tuple[float, float],
    a: float,
    b: float,
    window: NDArray[np.float32],
) -> None:
    """Draw the pale, hairy-topped ovary."""
    half_s, half_t = 0.36 * a * rng.uniform(0.7, 1.2), 0.5 * b * rng.uniform(0.7, 1.1)
    p, q = (patch.s - centre[1]) / half_s, (patch.t - centre[0]) / half_t
    lumpy = 1 + 0.12 * layered(rng, p.shape, 0.5 * patch.px_per_mm, 2)
    inside = (lumpy - np.sqrt(p * p + q * q)) * min(half_s, half_t)
    # Hairy on top: its edge is soft.
    cover = np.clip(inside * patch.px_per_mm * 0.35 + 0.3, 0, 1) * np.float32(rng.uniform(0.5, 0.9))
    shown = np.clip(0.5 + 0.5 * q, 0, 1)
    colour = mixed(linear((150, 172, 96)), linear((214, 220, 180)), shown)
    surface = Surface(
        (colour * (0.25 + 0.5 * shown)[..., None]).astype(np.float32), p * 0.8, q * 0.8,
        thin=0.4, gloss=0.05,
    )  # fmt: skip
    canvas.stamp(
        patch, (cover * window).astype(np.float32), lit(surface, patch, canvas.light),
        shadow=0.15, reach_mm=0.15, decoration=True,
    )  # fmt: skip


def _plume(
    rng: np.random.Generator,
    patch: Patch,
    foot: tuple[float, float],
    a: float,
    b: float,
) -> NDArray[np.float32]:
    """Return the cover of two feathery branches, shape (H, W)."""
    height, width = patch.t.shape
    fine = np.zeros((height * _FINE, width * _FINE), np.uint8)
    scale = patch.px_per_mm * _FINE

    def pixel(t: float, s: float) -> tuple[int, int]:
        row, column = patch.pose.place(t, s, patch.px_per_mm)
        return (
            round((column - patch.left + 0.5) * _FINE * 16),
            round((row - patch.top + 0.5) * _FINE * 16),
        )

    thick = max(1, round(0.03 * scale))
    for side in (-1, 1):
        length, spread = rng.uniform(0.9, 1.5) * b, side * rng.uniform(0.25, 0.75) * a
        curl = rng.normal(0, 0.25)
        steps = np.linspace(0, 1, 14)
        spine = [(foot[0] + length * x, foot[1] + spread * (x + curl * x * (1 - x))) for x in steps]
        for (t, s), x in zip(spine, steps, strict=True):
            for _ in range(5):
                reach = rng.uniform(0.12, 0.32) * (1.1 - 0.6 * x)
                turn = rng.uniform(-1.2, 1.2) + side * 0.3
                end = (t + reach * np.cos(turn), s + reach * np.sin(turn))
                cv2.line(fine, pixel(t, s), pixel(*end), 210, thick, cv2.LINE_AA, 4)
        for start, end in zip(spine[:-1], spine[1:], strict=True):
            cv2.line(fine, pixel(*start), pixel(*end), 255, thick + 1, cv2.LINE_AA, 4)
    small = cv2.resize(fine, (width, height), interpolation=cv2.INTER_AREA)
    return small.astype(np.float32) / np.float32(255)
