"""Shows pictures as if taken at lower resolution, each at its own, all at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import torch

if TYPE_CHECKING:
    from torch import Tensor


def coarser(images: Tensor, factor: Tensor) -> Tensor:
    """Make pictures smaller, free of aliases, and as large as before again.

    Both ways are linear in each direction, so one matrix a direction does them: the sizes on the
    way may differ from picture to picture without any shape that varies.

    Parameters
    ----------
    images
        float32 of shape (B, C, H, W).
    factor
        float32 of shape (B,): by which the sides are made smaller, 0..1.
    """
    height, width = images.shape[2:]
    down = _there_and_back(height, factor)
    across = _there_and_back(width, factor)
    return torch.matmul(torch.matmul(down[:, None], images), across[:, None].transpose(2, 3))


def _there_and_back(side: int, factor: Tensor) -> Tensor:
    """Return the matrices, (B, side, side), of one direction: bilinear, down with antialiasing."""
    place = torch.arange(side, device=factor.device, dtype=torch.float32)
    factor = factor[:, None, None]
    small = (side * factor).floor()
    # a triangle as wide as a pixel of the small picture, around its centre in the large one
    away = (place[None, :] + 0.5) - (place[:, None] + 0.5) / factor
    fewer = (1 - away.abs() * factor).clamp(min=0)
    fewer = fewer / fewer.sum(dim=2, keepdim=True).clamp(min=1e-6)
    source = ((place[:, None] + 0.5) * small / side - 0.5).clamp(min=0)
    more = (1 - (place[None, :] - torch.minimum(source, small - 1)).abs()).clamp(min=0)
    return torch.matmul(more, fewer)
