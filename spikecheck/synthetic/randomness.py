"""Random streams: each part of an image draws from its own, so that a part changes alone."""

from __future__ import annotations

import zlib

import numpy as np

from spikecheck.errors import UsageError
from spikecheck.synthetic.version import GENERATOR_VERSION


def stream(kind: str, seed: int, part: str) -> np.random.Generator:
    """Return the generator of one part of one image.

    Parameters
    ----------
    kind
        Kind of image.
    seed
        Seed of the image, 0 or more.
    part
        Name of the part that draws from it, such as ``"spike"``.

    Raises
    ------
    UsageError
        If the seed is negative.
    """
    if seed < 0:
        raise UsageError(f"a seed is 0 or more, got {seed}")
    words = [zlib.crc32(text.encode()) for text in (kind, part, GENERATOR_VERSION)]
    return np.random.default_rng(np.random.SeedSequence([seed, *words]))


def chance(rng: np.random.Generator, probability: float) -> bool:
    """Return True with a probability."""
    return bool(rng.random() < probability)
