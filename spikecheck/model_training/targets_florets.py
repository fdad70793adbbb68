"""What the florets network should say of a batch of crops."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import torch

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.model_training.cell_shares import UNKNOWN, cell_shares
from spikecheck.model_training.class_map import PixelClass
from spikecheck.model_training.heat import cells_of, heat_maps
from spikecheck.model_training.marks import AntherColumn, FloretColumn
from spikecheck.networks.preprocess import CELL_PX

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.sampling import Placed

LEAST_ANTHER_MM2 = 0.06
"""A smaller sliver is neither taught as an anther nor as none."""
_LEAST_HOLDING_MM2 = 0.10  # a floret surely shows an anther from this visible area on
_IGNORED_HEAT = 0.2
_ANTHER_CELL, _NO_ANTHER_CELL = 0.30, 0.06  # share of a cell's pixels
IGNORED = -100
"""Cross-entropy leaves cells of this class out."""


@dataclass(frozen=True, slots=True, eq=False)
class FloretTargets:
    """Targets of a batch; H and W are those of the maps.

    Parameters
    ----------
    tissue, anther_pixel
        int64 of shape (B, H, W): classes from 0, or :data:`IGNORED`.
    anther_heat, anther_weight, floret_heat, floret_weight
        float32 of shape (B, H, W).
    anther_cells, floret_cells
        int64 of shape (B, K, 2).
    anther_taught, floret_taught
        bool of shape (B, K): which count for sizes and attributes.
    anther_ln_mm, floret_ln_mm
        float32 of shape (B, K, 2): ln of height and width; NaN when not known.
    near_anthesis, broken
        float32 of shape (B, K); NaN when not known.
    clipped, cavity, holds_anther, left
        float32 of shape (B, K); NaN when not known.
    uncut, uncut_weight
        float32 of shape (B, H, W).
    """

    tissue: Tensor
    anther_pixel: Tensor
    anther_heat: Tensor
    anther_weight: Tensor
    floret_heat: Tensor
    floret_weight: Tensor
    anther_cells: Tensor
    floret_cells: Tensor
    anther_taught: Tensor
    floret_taught: Tensor
    anther_ln_mm: Tensor
    floret_ln_mm: Tensor
    near_anthesis: Tensor
    broken: Tensor
    clipped: Tensor
    cavity: Tensor
    holds_anther: Tensor
    left: Tensor
    uncut: Tensor
    uncut_weight: Tensor


def floret_targets(
    classes: Tensor,
    anthers: Placed,
    florets: Placed,
    *,
    complete: Tensor,
    florets_marked: Tensor,
    side_sign: Tensor,
) -> FloretTargets:
    """Return the targets of a batch.

    Parameters
    ----------
    classes
        uint8 of shape (B, 4H, 4W): class maps.
    anthers, florets
        What is in the crops.
    complete, florets_marked
        bool of shape (B,): whether all anthers, and florets, are listed.
    side_sign
        float32 of shape (B,): -1 where left and right are exchanged in the crop, else 1.
    """
    shape = (classes.shape[1] // CELL_PX, classes.shape[2] // CELL_PX)
    anther_cells = cells_of(torch.nan_to_num(anthers.centre), CELL_PX)
    floret_cells = cells_of(torch.nan_to_num(florets.centre), CELL_PX)
    area = torch.nan_to_num(anthers.columns[..., AntherColumn.AREA_MM2], nan=torch.inf)
    taught = anthers.inside & (area >= LEAST_ANTHER_MM2)
    # taught anthers, slivers, florets
    numbers = [
        torch.where(anthers.inside, 1 - taught.long(), -1), torch.where(florets.inside, 2, -1),
    ]  # fmt: skip
    heat, slivers, floret_heat = heat_maps(
        torch.cat([anther_cells, floret_cells], dim=1),
        torch.cat([anthers.size, florets.size], dim=1),
        torch.cat(numbers, dim=1), (3, *shape), CELL_PX,
    )  # fmt: skip
    known = torch.where(complete[:, None, None], 1.0, (heat > 0).float())
    anther_weight = torch.where((slivers > _IGNORED_HEAT) & (heat < 1), 0.0, known)
    floret_weight = florets_marked[:, None, None].float().expand_as(floret_heat)
    tissue, anther_pixel = _pixel_classes(classes)
    held = florets.columns[..., FloretColumn.ANTHER_MM2]
    holds = torch.where(held >= _LEAST_HOLDING_MM2, 1.0, torch.where(held == 0, 0.0, torch.nan))
    left = florets.columns[..., FloretColumn.LEFT]
    uncut = _uncut(florets, floret_cells, shape)
    return FloretTargets(
        tissue=tissue, anther_pixel=anther_pixel, anther_heat=heat, anther_weight=anther_weight,
        floret_heat=floret_heat, floret_weight=floret_weight, anther_cells=anther_cells,
        floret_cells=floret_cells, anther_taught=taught, floret_taught=florets.inside,
        anther_ln_mm=_ln_mm(anthers.size), floret_ln_mm=_ln_mm(florets.size),
        near_anthesis=anthers.columns[..., AntherColumn.NEAR_ANTHESIS],
        broken=anthers.columns[..., AntherColumn.BROKEN],
        clipped=florets.columns[..., FloretColumn.CLIPPED],
        cavity=florets.columns[..., FloretColumn.CAVITY], holds_anther=holds,
        left=0.5 + side_sign[:, None] * (left - 0.5), uncut=uncut,
        uncut_weight=floret_weight * ((tissue == 0) * 0.25 + (tissue == 1)),
    )  # fmt: skip


def _ln_mm(size_px: Tensor) -> Tensor:
    return (size_px.clamp(min=1) / STRIP_PX_PER_MM).log()


def _pixel_classes(classes: Tensor) -> tuple[Tensor, Tensor]:
    """Return tissue and anther class of each cell."""
    share = cell_shares(classes, CELL_PX)
    unknown = share[:, UNKNOWN] > 0
    anther = share[:, PixelClass.GREEN_ANTHER : PixelClass.OTHER_SPIKE]
    tissue = torch.stack(
        [
            share[:, PixelClass.BACKGROUND],
            share[:, PixelClass.SPIKE] + anther.sum(dim=1),
            share[:, PixelClass.OVER] + share[:, PixelClass.OTHER_SPIKE],
        ],
        dim=1,
    ).argmax(dim=1)
    covered = anther.sum(dim=1)
    pixel = torch.where(covered >= _ANTHER_CELL, 1 + anther.argmax(dim=1), 0)
    unsure = (covered > _NO_ANTHER_CELL) & (covered < _ANTHER_CELL)
    return (
        torch.where(unknown, IGNORED, tissue),
        torch.where(unknown | unsure, IGNORED, pixel),
    )


def _uncut(florets: Placed, cells: Tensor, shape: tuple[int, int]) -> Tensor:
    """Return where florets that were not cut lie: ellipses in their boxes."""
    half = torch.nan_to_num(florets.size / (2 * CELL_PX), nan=1.0).clamp(min=0.5)
    uncut = florets.inside & (florets.columns[..., FloretColumn.CLIPPED] < 0.5)  # noqa: PLR2004
    rows = torch.arange(shape[0], device=cells.device)
    columns = torch.arange(shape[1], device=cells.device)
    across = ((rows - cells[..., :1]) / half[..., :1]) ** 2
    along = ((columns - cells[..., 1:]) / half[..., 1:]) ** 2
    far = torch.where(uncut[..., None], across, torch.inf)
    return ((far[..., :, None] + along[..., None, :]) <= 1).any(dim=1).float()
