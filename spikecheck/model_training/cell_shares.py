"""How much of each cell of the maps every class of pixels takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.class_map import PixelClass

if TYPE_CHECKING:
    from torch import Tensor

UNKNOWN = len(PixelClass)
"""Channel of the pixels that nobody labelled, after those of :class:`PixelClass`."""
_BITS = 6  # of the counts of one class within the sum: 16 pixels a cell fit


def cell_shares(classes: Tensor, cell_px: int) -> Tensor:
    """Return the shares of cells.

    Parameters
    ----------
    classes
        uint8 of shape (B, H, W): class maps.
    cell_px
        Height and width of a cell, at most 7; H and W are multiples of it.

    Returns
    -------
    Tensor
        float32 of shape (B, 8, H / cell_px, W / cell_px): each :class:`PixelClass`, then
        :data:`UNKNOWN`.
    """
    # all classes are counted at once, each in its own bits of one whole number
    place = classes.clamp(max=UNKNOWN).long() * _BITS
    ones = torch.ones_like(place)
    batch, height, width = classes.shape
    cells = (ones << place).view(batch, height // cell_px, cell_px, width // cell_px, cell_px)
    counts = cells.sum(dim=(2, 4))
    shift = torch.arange(0, _BITS * (UNKNOWN + 1), _BITS, device=classes.device)[:, None, None]
    return ((counts[:, None] >> shift) & ((1 << _BITS) - 1)) / float(cell_px**2)
