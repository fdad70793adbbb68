"""Answers of the overview network made by hand: a spike drawn into its maps."""

from __future__ import annotations

import cv2
import numpy as np

from spikecheck.networks import Letterbox, OverviewMap, OverviewTuned
from tests.networks.colour_networks import OVERVIEW_TUNED

TUNED = OverviewTuned(**OVERVIEW_TUNED)
PLACE = Letterbox(512, 384, 512 / 4000, 384 / 3000)  # 12 megapixels, upright
CELL = np.array([31.25, 31.25])  # photo px per cell
SCALE = 40.0  # px/mm of the photo


def answer(
    *spikes: tuple[tuple[float, float], tuple[float, float], float],
    other: tuple[tuple[float, float], tuple[float, float], float] | None = None,
    arrows: tuple[float, float] | None = None,
    whole: tuple[float, ...] = (8, -8, -8, -8, -8),
    px_per_mm: float = SCALE,
    deviation: float = 0.1,
) -> dict[str, np.ndarray]:
    """An answer with bars ``(base, tip, width)`` in cells; arrows along the first unless told."""
    maps = np.zeros((1, 6, 128, 128), np.float32)
    maps[0, OverviewMap.SPIKE] = drawn(spikes)
    maps[0, OverviewMap.OTHER_SPIKE] = drawn([] if other is None else [other])
    maps[0, OverviewMap.LN_SCALE] = np.log(px_per_mm * 512 / 4000)
    maps[0, OverviewMap.LN_SCALE_VARIANCE] = np.log(deviation**2)
    if arrows is None and spikes:
        along = np.subtract(spikes[0][1], spikes[0][0])
        arrows = tuple(along / np.hypot(*along))
    maps[0, OverviewMap.DIRECTION : OverviewMap.DIRECTION + 2] = np.array(
        arrows or (0.0, 0.0), np.float32
    )[:, None, None]
    return {"maps": maps, "globals": np.array([[*whole, 0, 0, 0]], np.float32)}


def drawn(bars) -> np.ndarray:
    """Logits of 8 inside bars, -8 outside, smooth at the edge as a network's are."""
    large = np.zeros((1024, 1024), np.float32)
    for base, tip, width in bars:
        ends = [tuple(round(8 * float(c)) for c in reversed(end)) for end in (base, tip)]
        cv2.line(large, ends[0], ends[1], 1.0, round(8 * width))
    return (16 * cv2.resize(large, (128, 128), interpolation=cv2.INTER_AREA) - 8).astype(np.float32)


def in_photo(cell: tuple[float, float]) -> np.ndarray:
    """Where the middle of a cell lies in the photo, px."""
    return (np.array(cell) + 0.5) * CELL - 0.5
