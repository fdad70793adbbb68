"""Where crops for the florets network are taken: near what matters, upright, at 20 px/mm.

The ranges say how far the strip found at run time may be off: its scale is an estimate and its
axis a smooth line through what was found.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import torch

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.model_training.on_device import constant
from spikecheck.model_training.sampling import similarity

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.photo_set import PhotoSet

_SCALE_ERROR = 0.12
_TILT = math.radians(12)
_UPSIDE_DOWN = 0.05  # the base taken for the tip
_AT_ANTHER, _AT_FLORET = 0.5, 0.3  # shares of crops drawn near one; the others lie anywhere
_OFF_CENTRE = 0.35  # share of the crop's size


def floret_crops(photos: PhotoSet, index: Tensor, size: tuple[int, int]) -> Tensor:
    """Draw matrices from crop to view for views ``index``; float32 of shape (B, 2, 3)."""
    count, device = len(index), index.device

    def uniform(low: float, high: float, *shape: int) -> Tensor:
        return low + (high - low) * torch.rand(*shape, device=device)

    jitter = torch.exp(uniform(math.log(1 - _SCALE_ERROR), math.log(1 + _SCALE_ERROR), count))
    zoom = photos.px_per_mm[index] / (STRIP_PX_PER_MM * jitter)
    angle = uniform(-_TILT, _TILT, count)
    angle = torch.where(uniform(0, 1, count) < _UPSIDE_DOWN, angle + math.pi, angle)
    extent = torch.stack([photos.rows[index], photos.columns[index]], dim=1).float()
    centre = extent * uniform(0, 1, count, 2)
    choice = uniform(0, 1, count)
    for marks, low, high in (
        (photos.anthers, 0.0, _AT_ANTHER), (photos.florets, _AT_ANTHER, _AT_ANTHER + _AT_FLORET),
    ):  # fmt: skip
        place, known = _any_mark(marks[index])
        off = uniform(-_OFF_CENTRE, _OFF_CENTRE, count, 2) * zoom[:, None]
        off = off * constant(size, device)
        wanted = known & (choice >= low) & (choice < high)
        centre = torch.where(wanted[:, None], place + off, centre)
    # keep the crop inside the view where the view is larger than it
    half = zoom[:, None] * constant(size, device) / 2
    centre = torch.minimum(torch.maximum(centre, torch.minimum(half, extent / 2)),
                           torch.maximum(extent - half, extent / 2))  # fmt: skip
    return similarity(centre, zoom, angle, uniform(0, 1, count) < 0.5, size)  # noqa: PLR2004


def whole_strip(photos: PhotoSet, number: int, step_px: int) -> tuple[Tensor, tuple[int, int]]:
    """Return the matrix, (1, 2, 3), and size of a whole view at the working scale.

    Parameters
    ----------
    number
        Of the view.
    step_px
        Height and width become multiples of this, by showing more.
    """
    zoom = photos.px_per_mm[number : number + 1] / STRIP_PX_PER_MM
    extent = torch.stack([photos.rows[number], photos.columns[number]]).float()
    size = [math.ceil(float(e) / float(zoom) / step_px) * step_px for e in extent]
    still = torch.zeros(1, device=extent.device)
    matrix = similarity((extent - 1)[None] / 2, zoom, still, still > 0, (size[0], size[1]))
    return matrix, (size[0], size[1])


def _any_mark(marks: Tensor) -> tuple[Tensor, Tensor]:
    """Return the place of one mark of each photo, drawn evenly, and whether there is one."""
    there = torch.isfinite(marks[:, :, 0])
    score = torch.rand(there.shape, device=marks.device) * there
    pick = score.argmax(dim=1)
    place = marks[torch.arange(len(marks), device=marks.device), pick, :2]
    return torch.nan_to_num(place), there.any(dim=1)
