"""How whole photos are framed anew for the overview network: turned, zoomed, shifted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.sampling import in_crops, similarity
from spikecheck.networks.preprocess import OVERVIEW_SIDE_PX

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.photo_set import PhotoSet

_TILT = math.radians(15)
_ZOOM = (0.72, 1.25)  # photo shown larger or smaller
_TRIES = 6
_CUT_ANYWAY = 0.12  # share of photos whose frame may cut the spike
_SIZE = (OVERVIEW_SIDE_PX, OVERVIEW_SIDE_PX)
GREY = 0.5
"""What lies beside the photo in the square, as in ``networks.preprocess``."""


@dataclass(frozen=True, slots=True, eq=False)
class Frames:
    """Frames of a batch.

    Parameters
    ----------
    matrix
        float32 of shape (B, 2, 3): from the square to the view.
    extent
        float32 of shape (B, 2): rows and columns of the square that the photo takes, top-left.
    zoom
        float32 of shape (B,): view pixels per pixel of the square.
    """

    matrix: Tensor
    extent: Tensor
    zoom: Tensor


def random_frames(photos: PhotoSet, index: Tensor) -> Frames:
    """Draw a frame for each view; most keep the spike's ends in if they were in."""
    count, device = len(index), index.device
    every = index.repeat(_TRIES)
    tried = _drawn(photos, every)
    kept = (ends_outside_px(photos, every, tried) <= 0).view(_TRIES, count)
    anyway = torch.rand(count, device=device) < _CUT_ANYWAY
    # the first that keeps both ends, or simply the first
    choice = torch.where(anyway, 0, kept.float().argmax(dim=0))
    chosen = choice * count + torch.arange(count, device=device)
    return Frames(tried.matrix[chosen], tried.extent[chosen], tried.zoom[chosen])


def whole_frames(photos: PhotoSet, index: Tensor) -> Frames:
    """Return the frames of the run time: the whole photo as it lies."""
    size = torch.stack([photos.rows[index], photos.columns[index]], dim=1).float()
    zoom = size.amax(dim=1) / OVERVIEW_SIDE_PX
    still = torch.zeros(len(index), device=index.device)
    return _framed(zoom, still, still > 0, size / 2, size / zoom[:, None])


def ends_outside_px(photos: PhotoSet, index: Tensor, frames: Frames) -> Tensor:
    """Return how far the worse end of the axis lies outside the frame, px of the square.

    float32 of shape (B,): negative inside, -inf without an axis.
    """
    axis = photos.axis[index]
    ends = torch.stack([axis[:, 0], axis[:, -1]], dim=1)
    places = in_crops(ends, frames.matrix)
    beyond = torch.maximum(-places, places - frames.extent[:, None])
    return torch.nan_to_num(beyond.flatten(1).amax(dim=1), nan=-torch.inf)


def _drawn(photos: PhotoSet, index: Tensor) -> Frames:
    count, device = len(index), index.device
    size = torch.stack([photos.rows[index], photos.columns[index]], dim=1).float()
    low, high = (math.log(z) for z in _ZOOM)
    factor = torch.exp(low + (high - low) * torch.rand(count, device=device))
    quarter = torch.randint(0, 4, (count,), device=device)
    angle = quarter * (math.pi / 2) + _TILT * (2 * torch.rand(count, device=device) - 1)
    shown = torch.where((quarter % 2 == 1)[:, None], size.flip(1), size)
    longest = shown.amax(dim=1)
    extent = shown / longest[:, None] * OVERVIEW_SIDE_PX
    square = torch.rand(count, device=device) < 0.15  # noqa: PLR2004  (an own choice)
    extent = torch.where(square[:, None], float(OVERVIEW_SIDE_PX), extent)
    zoom = factor * longest / OVERVIEW_SIDE_PX
    slack = 0.5 * (1 - factor).abs().clamp(min=0.08)[:, None] * size
    centre = size / 2 + slack * (2 * torch.rand(count, 2, device=device) - 1)
    mirrored = torch.rand(count, device=device) < 0.5  # noqa: PLR2004
    return _framed(zoom, angle, mirrored, centre, extent)


def _framed(
    zoom: Tensor, angle: Tensor, mirrored: Tensor, centre: Tensor, extent: Tensor
) -> Frames:
    """Put the place ``centre`` of the view into the middle of the photo's part of the square."""
    matrix = similarity(centre - 0.5, zoom, angle, mirrored, _SIZE)
    shift = (extent - OVERVIEW_SIDE_PX) / 2  # that part lies top-left, not in the middle
    turned = (matrix[:, :, :2] * shift[:, None]).sum(dim=2)
    matrix = torch.cat([matrix[:, :, :2], (matrix[:, :, 2] - turned)[:, :, None]], dim=2)
    return Frames(matrix, extent.round(), zoom)


def beside(extent: Tensor) -> Tensor:
    """Return where the square shows no photo, bool of shape (B, 512, 512)."""
    place = torch.arange(OVERVIEW_SIDE_PX, device=extent.device)
    down, across = place >= extent[:, :1], place >= extent[:, 1:]
    return down[:, :, None] | across[:, None, :]
