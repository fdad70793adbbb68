"""Random streams of a composed photo: each part draws from its own, so that it changes alone."""

from __future__ import annotations

import zlib

import numpy as np

from spikecheck.errors import UsageError

COMPOSER_VERSION = "1"  # the same layer, seed, kind and version always give the same photo


def part_stream(seed: int, layer_seed: int, kind: str, part: str) -> np.random.Generator:
    """Return the random stream of one part of one photo.

    Parameters
    ----------
    seed
        Seed of the composition, 0 or more.
    layer_seed
        Seed of the rendered layer, 0 or more.
    kind
        Kind of photo.
    part
        Name of the part that draws from it, such as ``"background"``.

    Raises
    ------
    UsageError
        If a seed is negative.
    """
    if seed < 0 or layer_seed < 0:
        raise UsageError(f"a seed is 0 or more, got {min(seed, layer_seed)}")
    words = [zlib.crc32(text.encode()) for text in (kind, part, COMPOSER_VERSION)]
    return np.random.default_rng(np.random.SeedSequence([seed, layer_seed, *words]))
