"""Noise: soft patches, grain, and streaks across an organ."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats


def patches(rng: np.random.Generator, shape: tuple[int, ...], cell_px: float) -> Floats:
    """Return smooth noise of mean 0 and deviation about 1.

    Parameters
    ----------
    rng
        Random stream.
    shape
        Height and width, px.
    cell_px
        Size of a patch, px.
    """
    rows, columns = (max(2, int(np.ceil(n / cell_px)) + 1) for n in shape[:2])
    coarse = rng.standard_normal((rows, columns), np.float32)
    smooth = cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)
    return np.asarray(smooth, np.float32)


def layered(
    rng: np.random.Generator, shape: tuple[int, ...], cell_px: float, octaves: int = 3
) -> Floats:
    """Return noise with detail at ``octaves`` scales, each half the size and strength."""
    total = np.zeros(shape[:2], np.float32)
    for octave in range(octaves):
        total += patches(rng, shape, max(1.0, cell_px / 2**octave)) / 2**octave
    return total / np.float32(1.3)


def along_fibres(
    rng: np.random.Generator,
    u: Floats,
    v: Floats,
    cells: tuple[int, int],
) -> Floats:
    """Return smooth noise laid out along an organ, so that its patches follow the fibres.

    Parameters
    ----------
    rng
        Random stream.
    u, v
        float32 arrays of shape (H, W): place along, 0..1, and across, -1..1.
    cells
        Patches along and across.
    """
    coarse = rng.standard_normal((cells[0] + 1, cells[1] + 1), np.float32)
    laid = cv2.remap(
        coarse,
        ((v + np.float32(1.2)) * np.float32(cells[1] / 2.4)).astype(np.float32),
        (u * np.float32(cells[0])).astype(np.float32),
        cv2.INTER_CUBIC,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return np.asarray(laid, np.float32)


def streaks(rng: np.random.Generator, v: Floats, count: int) -> Floats:
    """Return noise that depends on the place across an organ alone: fibres.

    Parameters
    ----------
    rng
        Random stream.
    v
        float32 array of shape (H, W): place across, -1..1.
    count
        Number of fibres over the width.
    """
    knots = rng.standard_normal(count).astype(np.float32)
    return np.interp(v, np.linspace(-1.1, 1.1, count), knots).astype(np.float32)
