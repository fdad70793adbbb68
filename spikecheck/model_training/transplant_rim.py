"""Hides part of some anthers behind a rim, as if only their tip came out of a cavity."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import torch

if TYPE_CHECKING:
    from torch import Tensor

_ONLY_A_TIP = 0.5  # share of pieces of which only a tip shows, as out of a cavity
_TIP = (0.15, 0.6)  # how much of their length
_TIP_ASKEW = 0.4  # standard deviation of the cut's direction, radians
_RIM_BEND_PX = 20.0  # least radius, about, of the rim that hides the rest


def uniform(low: float, high: float, *shape: int, device: torch.device) -> Tensor:
    """Return random numbers between ``low`` and ``high``, float32."""
    return low + (high - low) * torch.rand(*shape, device=device)


def middle_of(shown: Tensor) -> Tensor:
    """Return the mean place (row, column), (R, 2), of what is True in (R, S, S); 0 for nothing."""
    steps = torch.arange(shown.shape[1], device=shown.device, dtype=torch.float32)
    total = shown.sum(dim=(1, 2)).clamp(min=1)
    row = (shown.sum(dim=2) * steps).sum(dim=1) / total
    return torch.stack([row, (shown.sum(dim=1) * steps).sum(dim=1) / total], dim=1)


def not_hidden(shown: Tensor) -> Tensor:
    """Return all of some windows, and of the others the part above a rim across the anther.

    Parameters
    ----------
    shown
        bool of shape (R, S, S): the pixels of the anthers.
    """
    count, side = shown.shape[:2]
    device = shown.device
    steps = torch.arange(side, device=device, dtype=torch.float32)
    middle = middle_of(shown)
    down = (steps - middle[:, :1])[:, :, None]
    along = (steps - middle[:, 1:])[:, None]
    spread = (shown * (down**2 - along**2)).sum(dim=(1, 2))
    mixed = (shown * (down * along)).sum(dim=(1, 2))
    turn = 0.5 * torch.atan2(2 * mixed, spread)  # of the long axis, from downwards
    turn = turn + math.pi + _TIP_ASKEW * torch.randn(count, device=device)  # upwards
    cos, sin = torch.cos(turn)[:, None, None], torch.sin(turn)[:, None, None]
    ahead, across = cos * down + sin * along, cos * along - sin * down
    tip = torch.where(shown, ahead, -torch.inf).amax(dim=(1, 2))
    end = torch.where(shown, ahead, torch.inf).amin(dim=(1, 2))
    rim = tip - uniform(*_TIP, count, device=device) * (tip - end)
    bend = uniform(-1, 1, count, device=device)[:, None, None] / (2 * _RIM_BEND_PX)
    whole = torch.rand(count, device=device) >= _ONLY_A_TIP
    return whole[:, None, None] | (ahead + bend * across**2 >= rim[:, None, None])
