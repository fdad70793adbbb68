"""Colours are written as sRGB and mixed as linear light (IEC 61966-2-1)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.arrays import Floats


_ENCODED_KNEE, _LINEAR_KNEE = 0.04045, 0.0031308  # IEC 61966-2-1


def linear(srgb: Sequence[float] | Floats) -> Floats:
    """Return linear RGB, 0..1, of an sRGB colour given as 0..255 (IEC 61966-2-1)."""
    c = np.asarray(srgb, np.float32) / 255
    return np.where(c <= _ENCODED_KNEE, c / 12.92, ((c + 0.055) / 1.055) ** 2.4).astype(np.float32)


def encoded(rgb: Floats) -> Floats:
    """Return sRGB-encoded values, 0..1, of linear RGB (IEC 61966-2-1)."""
    c = np.clip(rgb, 0, 1)
    return np.where(c <= _LINEAR_KNEE, c * 12.92, 1.055 * c ** (1 / 2.4) - 0.055).astype(np.float32)


def mixed(a: Floats, b: Floats, share: Floats | float) -> Floats:
    """Return ``a`` where ``share`` is 0 and ``b`` where it is 1.

    ``share`` is a number or an array of shape (H, W); the result has shape (H, W, 3) then.
    """
    weight = np.asarray(share, np.float32)[..., None]
    return (a + (b - a) * weight).astype(np.float32)


def jittered(rng: np.random.Generator, srgb: Sequence[float], spread: float) -> Floats:
    """Return linear RGB of a colour varied in brightness and, less, in each channel.

    Parameters
    ----------
    rng
        Random stream.
    srgb
        Colour, 0..255.
    spread
        Standard deviation of the brightness, 0..255.
    """
    shift = rng.normal(0, spread) + rng.normal(0, spread * 0.35, 3)
    return linear(np.clip(np.asarray(srgb, float) + shift, 3, 250))
