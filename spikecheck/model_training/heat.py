"""Heat maps of centres: a bump of 1 at every object, as wide as it is large.

The way of Zhou, Wang and Krähenbühl (2019, "Objects as points", arXiv:1904.07850), with their
focal loss (section 3, equation 1, alpha 2 and beta 4). The bump's spread is a fixed share of the
object's size here, since the objects' place is told to the cell and their boxes hardly overlap.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import torch

if TYPE_CHECKING:
    from torch import Tensor

_REACH_CELLS = 9
_SPREAD_SHARE = 0.18  # of the square root of the area of the box
_SPREAD_CELLS = (0.75, 3.0)
_NUDGED = 0.5


def cells_of(centre_px: Tensor, stride: int) -> Tensor:
    """Return the map cell, int64, a place of the input lies in."""
    return ((centre_px + 0.5) / stride).floor().long()


def heat_maps(
    cells: Tensor, size_px: Tensor, number: Tensor, shape: tuple[int, int, int], stride: int
) -> Tensor:
    """Draw the bumps of a batch into several maps of each picture.

    Parameters
    ----------
    cells
        int64 of shape (B, K, 2): (row, column) of the cells of the centres.
    size_px
        float32 of shape (B, K, 2): height and width, input px; NaN when not known.
    number
        int64 of shape (B, K): of the map it is drawn into; -1 for none.
    shape
        Number of the maps, their height and width.
    stride
        Input pixels per cell.

    Returns
    -------
    Tensor
        float32 of shape (M, B, H, W), exactly 1 at the centres.
    """
    maps, height, width = shape
    batch, device = len(cells), cells.device
    spread = _SPREAD_SHARE * size_px.clamp(min=1).prod(dim=2).sqrt() / stride
    spread = torch.nan_to_num(spread, nan=_SPREAD_CELLS[0]).clamp(*_SPREAD_CELLS)
    reach = torch.arange(-_REACH_CELLS, _REACH_CELLS + 1, device=device)
    square = (reach[:, None] ** 2 + reach**2).float()
    bumps = torch.exp(square / (-2 * spread**2)[:, :, None, None])
    rows = cells[:, :, :1] + reach
    columns = cells[:, :, 1:] + reach
    down = (rows >= 0) & (rows < height) & (number >= 0)[:, :, None]
    across = (columns >= 0) & (columns < width)
    image = number.clamp(min=0) * batch + torch.arange(batch, device=device)[:, None]
    rows = (image[:, :, None] * height + rows.clamp(0, height - 1)) * width
    place = rows[..., :, None] + columns.clamp(0, width - 1)[..., None, :]
    bumps = bumps * (down[..., :, None] & across[..., None, :])
    flat = torch.zeros(maps * batch * height * width, device=device)
    flat.scatter_reduce_(0, place.flatten(), bumps.flatten(), reduce="amax")
    return flat.view(maps, batch, height, width)


def focal_loss(logits: Tensor, heat: Tensor, weight: Tensor) -> Tensor:
    """Return the penalty-reduced focal loss of each map, per centre, float32 of shape (M,).

    Parameters
    ----------
    logits
        float32 of shape (M, B, H, W).
    heat
        float32 of shape (M, B, H, W), 1 at centres.
    weight
        float32 of shape (M, B, H, W): 0 where nothing is known.
    """
    centre = heat >= 1
    log_yes = torch.nn.functional.logsigmoid(logits)
    log_no = torch.nn.functional.logsigmoid(-logits)
    chance = torch.sigmoid(logits)
    yes = (1 - chance) ** 2 * log_yes
    no = (1 - heat) ** 4 * chance**2 * log_no
    total = -(torch.where(centre, yes, no) * weight).sum(dim=(1, 2, 3))
    return total / (centre * weight).sum(dim=(1, 2, 3)).clamp(min=1)


def at_cells(maps: Tensor, cells: Tensor) -> Tensor:
    """Return what maps (B, C, H, W) hold at cells (B, K, 2), as (B, K, C)."""
    height, width = maps.shape[2:]
    place = cells[..., 0].clamp(0, height - 1) * width + cells[..., 1].clamp(0, width - 1)
    flat = maps.flatten(2)
    return flat.gather(2, place[:, None].expand(-1, maps.shape[1], -1)).transpose(1, 2)


def nudged(cells: Tensor) -> Tensor:
    """Return half of the cells moved to a neighbour at random.

    A peak found at run time may lie one cell off; what is asked there must hold there too.
    """
    off = torch.randint_like(cells, -1, 2)
    return cells + off * (torch.rand(cells.shape[:2], device=cells.device) < _NUDGED)[..., None]
