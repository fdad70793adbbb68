"""Rounds pictures as JPEG does, on the device, so that its traces are familiar.

Quantisation tables and their scaling by quality: ITU-T T.81 annex K (tables K.1 and K.2) and the
convention of the IJG library for scaling them.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import torch

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
    k = torch.arange(_BLOCK, device=device, dtype=torch.float32)
    wave = torch.cos((2 * k[None] + 1) * k[:, None] * math.pi / (2 * _BLOCK)) / 2
    wave[0] /= math.sqrt(2)
    scale = torch.where(quality < _HALF_QUALITY, 5000 / quality, 200 - 2 * quality) / 100
    base = torch.tensor([_LUMA, _CHROMA, _CHROMA], device=device, dtype=torch.float32)
    table = (base.view(1, 3, 1, 1, _BLOCK, _BLOCK) * scale.view(-1, 1, 1, 1, 1, 1)).round()
    table = table.clamp(1, 255)
    ycc = torch.einsum("dc,bchw->bdhw", torch.tensor(_TO_YCC, device=device), images)
    blocks = (
        ((ycc * 255).round() - torch.tensor([128.0, 0, 0], device=device).view(1, 3, 1, 1))
        .view(batch, 3, height // _BLOCK, _BLOCK, width // _BLOCK, _BLOCK)
        .transpose(3, 4)
    )
    waves = wave @ blocks @ wave.T
    rounded = (waves / table).round() * table
    blocks = (wave.T @ rounded @ wave).transpose(3, 4).reshape(batch, 3, height, width)
    ycc = (blocks + torch.tensor([128.0, 0, 0], device=device).view(1, 3, 1, 1)).round() / 255
    return torch.einsum("dc,bchw->bdhw", torch.tensor(_TO_RGB, device=device), ycc).clamp(0, 1)
