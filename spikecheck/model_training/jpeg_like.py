"""Rounds pictures as JPEG does, on the device, so that its traces are familiar.

Quantisation tables and their scaling by quality: ITU-T T.81 annex K (tables K.1 and K.2) and the
convention of the IJG library for scaling them.
"""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.on_device import constant

if TYPE_CHECKING:
    from torch import Tensor

_BLOCK = 8
_LUMA = (
    16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56,
    14, 17, 22, 29, 51, 87, 80, 62, 18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113,
    92, 49, 64, 78, 87, 103, 121, 120, 101, 72, 92, 95, 98, 112, 100, 103, 99,
)  # fmt: skip
_CHROMA = (
    17, 18, 24, 47, 99, 99, 99, 99, 18, 21, 26, 66, 99, 99, 99, 99, 24, 26, 56, 99, 99, 99, 99, 99,
    47, 66, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99,
    99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99, 99,
)  # fmt: skip
# full-range YCbCr of JFIF (ITU-R BT.601 weights)
_TO_YCC = (
    (0.299, 0.587, 0.114), (-0.168736, -0.331264, 0.5), (0.5, -0.418688, -0.081312),
)  # fmt: skip
_TO_RGB = ((1.0, 0.0, 1.402), (1.0, -0.344136, -0.714136), (1.0, 1.772, 0.0))
_HALF_QUALITY = 50


def jpeg_like(images: Tensor, quality: Tensor) -> Tensor:
    """Return pictures with the rounding of JPEG, without chroma subsampling.

    Parameters
    ----------
    images
        float32 of shape (B, 3, H, W), 0..1; H and W multiples of 8.
    quality
        float32 of shape (B,), 1..100.
    """
    batch, _, height, width = images.shape
    device = images.device
    wave = constant(_waves(), device)
    scale = torch.where(quality < _HALF_QUALITY, 5000 / quality, 200 - 2 * quality) / 100
    base = constant((_LUMA, _CHROMA, _CHROMA), device)
    table = (base * scale[:, None, None]).round().clamp(1, 255)[:, :, None, None]
    middle = constant((128.0, 0.0, 0.0), device)[:, None, None, None, None]
    ycc = _mixed(images * 255, _TO_YCC)
    shape = (batch, 3, height // _BLOCK, _BLOCK, width // _BLOCK, _BLOCK)
    # one row of 64 numbers a block, so that its transform is one product
    blocks = (ycc.view(shape).round() - middle).transpose(3, 4).flatten(4)
    rounded = (blocks @ wave.T / table).round() * table
    blocks = (rounded @ wave).unflatten(4, (_BLOCK, _BLOCK)).transpose(3, 4)
    ycc = (blocks + middle).round().reshape(batch, 3, height, width)
    return _mixed(ycc / 255, _TO_RGB).clamp(0, 1)


def _mixed(images: Tensor, weights: tuple[tuple[float, ...], ...]) -> Tensor:
    """Return pictures (B, 3, H, W) with channels mixed by a matrix."""
    mixed = torch.matmul(constant(weights, images.device), images.flatten(2))
    return mixed.view(images.shape)


@cache
def _waves() -> tuple[tuple[float, ...], ...]:
    """Return the cosine transform of an 8 x 8 block as a matrix of 64 x 64."""
    one = [
        [
            math.cos((2 * place + 1) * wave * math.pi / (2 * _BLOCK)) / 2
            / (math.sqrt(2) if wave == 0 else 1)
            for place in range(_BLOCK)
        ]
        for wave in range(_BLOCK)
    ]  # fmt: skip
    return tuple(
        tuple(down * across for down in one[r] for across in one[c])
        for r in range(_BLOCK) for c in range(_BLOCK)
    )  # fmt: skip
