"""Where anthers are set into crops: mostly into open florets that show none, else on the spike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.class_map import PixelClass
from spikecheck.model_training.marks import FloretColumn
from spikecheck.model_training.on_device import constant
from spikecheck.model_training.transplant_rim import uniform

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.sampling import Placed

_ANYWHERE = 0.25  # share of anthers set anywhere on the spike
_TRIES = 8
_OFF_CENTRE = 0.25  # of the floret's size
_OPEN = 0.3  # a cavity of which so much is seen
_REACH_PX = 20.0  # half the size of a floret whose box is not known


@dataclass(frozen=True, slots=True, eq=False)
class Spots:
    """Places in crops.

    Parameters
    ----------
    place
        float32 of shape (R, 2): (row, column), px.
    there
        bool of shape (R,): whether one was found.
    shaded
        bool of shape (R,): whether it lies in an open floret.
    """

    place: Tensor
    there: Tensor
    shaded: Tensor

    def of(self, part: slice) -> Spots:
        """Return some of the places."""
        return Spots(self.place[part], self.there[part], self.shaded[part])


def drawn_spots(classes: Tensor, florets: Placed, crops: Tensor) -> Spots:
    """Draw places in crops.

    Parameters
    ----------
    classes
        uint8 of shape (B, H, W): class maps.
    florets
        What is in the crops.
    crops
        int64 of shape (R,): in which crop each place is to be.
    """
    count, device = len(crops), classes.device
    cavity = florets.columns[..., FloretColumn.CAVITY] > _OPEN
    empty = florets.columns[..., FloretColumn.ANTHER_MM2] == 0
    liked = (florets.inside * (1.0 + (cavity & empty)))[crops]
    pick = (liked - torch.rand(liked.shape, device=device)).argmax(dim=1)
    size = torch.nan_to_num(florets.size[crops, pick], nan=2 * _REACH_PX)
    jitter = uniform(-_OFF_CENTRE, _OFF_CENTRE, count, 2, device=device)
    at_floret = florets.centre[crops, pick] + jitter * size
    on_spike, found = _on_spike(classes, crops)
    listed = florets.inside.any(dim=1)[crops]
    in_floret = listed & (~found | (torch.rand(count, device=device) >= _ANYWHERE))
    place = torch.where(in_floret[:, None], torch.nan_to_num(at_floret), on_spike)
    return Spots(place, in_floret | found, in_floret & cavity[crops, pick])


def holding_more(florets: Placed, centre: Tensor, area_mm2: Tensor) -> Tensor:
    """Return the columns of florets, (B, K, C), once an anther lies in each crop.

    Parameters
    ----------
    florets
        What is in the crops.
    centre
        float32 of shape (B, 2): of the anthers, (row, column), px; NaN for none.
    area_mm2
        float32 of shape (B,): what of them shows.
    """
    reach = torch.nan_to_num(florets.size, nan=2 * _REACH_PX) / 2
    off = ((centre[:, None] - florets.centre).abs() / reach).amax(dim=2)
    off = torch.nan_to_num(off, nan=torch.inf)
    # boxes overlap: it lies in the one whose middle is nearest, as each lies in one floret
    holds = (off <= 1) & (off == off.amin(dim=1, keepdim=True))
    column = torch.arange(florets.columns.shape[2], device=centre.device)
    changed = holds[:, :, None] & (column == FloretColumn.ANTHER_MM2)
    return torch.where(
        changed, torch.fmax(florets.columns, area_mm2[:, None, None]), florets.columns
    )


def _on_spike(classes: Tensor, crops: Tensor) -> tuple[Tensor, Tensor]:
    """Return places on the spike, (R, 2), and whether one of the tries hit it, (R,)."""
    count, device = len(crops), classes.device
    extent = constant((float(classes.shape[1]), float(classes.shape[2])), device)
    tries = (torch.rand(count, _TRIES, 2, device=device) * extent).long()
    tries = torch.minimum(tries, extent.long() - 1)  # rand times a float may round up to the end
    hit = classes[crops[:, None], tries[..., 0], tries[..., 1]] == PixelClass.SPIKE
    first = hit.byte().argmax(dim=1)
    return tries[torch.arange(count, device=device), first].float(), hit.any(dim=1)
