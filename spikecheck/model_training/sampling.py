"""Takes crops out of packed views: a whole batch at once, turned, scaled and mirrored."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.marks import FIRST_OUTLINE, OUTLINE_POINTS
from spikecheck.model_training.on_device import constant

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.photo_set import PhotoSet

_BYTE = 0xFF
_CLASS_BYTE = 3
_HALF = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """Florets or anthers of a batch of crops.

    Parameters
    ----------
    centre
        float32 of shape (B, K, 2): (row, column) in the crop, px.
    size
        float32 of shape (B, K, 2): height and width, px; NaN when not known.
    columns
        float32 of shape (B, K, C): the rows' columns as in
        :mod:`spikecheck.model_training.marks`.
    inside
        bool of shape (B, K): whether there is one and its centre lies in the crop.
    """

    centre: Tensor
    size: Tensor
    columns: Tensor
    inside: Tensor


def similarity(
    centre: Tensor, zoom: Tensor, angle: Tensor, mirrored: Tensor, size: tuple[int, int]
) -> Tensor:
    """Return matrices from crop to view.

    Parameters
    ----------
    centre
        float32 of shape (B, 2): place of the view, (row, column), at the middle of the crop.
    zoom
        float32 of shape (B,): view pixels per crop pixel.
    angle
        float32 of shape (B,): by which the crop is turned, radians.
    mirrored
        bool of shape (B,): whether left and right are exchanged.
    size
        Height and width of the crop, px.

    Returns
    -------
    Tensor
        float32 of shape (B, 2, 3), for (row, column, 1).
    """
    cos, sin = zoom * torch.cos(angle), zoom * torch.sin(angle)
    side = torch.where(mirrored, -1.0, 1.0)
    turn = torch.stack(
        [torch.stack([cos, sin * side], dim=1), torch.stack([-sin, cos * side], dim=1)], dim=1
    )
    # products of matrices are left to pictures: a GPU rounds them to three digits
    middle = turn[:, :, 0] * ((size[0] - 1) / 2) + turn[:, :, 1] * ((size[1] - 1) / 2)
    return torch.cat([turn, (centre - middle)[:, :, None]], dim=2)


def in_crops(places: Tensor, matrix: Tensor) -> Tensor:
    """Return places of views as places of crops.

    Parameters
    ----------
    places
        float32 of shape (B, K, 2): (row, column) in the view.
    matrix
        float32 of shape (B, 2, 3): similarities from crop to view.
    """
    turn, shift = matrix[:, None, :, :2], matrix[:, None, :, 2]
    off = places - shift
    # the inverse of a similarity is its transpose over its squared zoom
    back = off[..., :1] * turn[:, :, 0] + off[..., 1:] * turn[:, :, 1]
    return back / (turn[:, :, 0] ** 2).sum(dim=2, keepdim=True)


def sampled(
    photos: PhotoSet, index: Tensor, matrix: Tensor, size: tuple[int, int]
) -> tuple[Tensor, Tensor]:
    """Return pictures and class maps of crops.

    Parameters
    ----------
    index
        int64 of shape (B,): numbers of the views.
    matrix
        float32 of shape (B, 2, 3): from crop to view.
    size
        Height and width of the crops, px.

    Returns
    -------
    tuple
        float32 of shape (B, 3, H, W), 0..1, and uint8 of shape (B, H, W); outside the view its
        edge goes on in both.
    """
    height, width = size
    row = torch.arange(height, device=matrix.device, dtype=torch.float32)[:, None]
    column = torch.arange(width, device=matrix.device, dtype=torch.float32)
    m = matrix[:, :, :, None, None]
    places = m[:, :, 0] * row + (m[:, :, 1] * column + m[:, :, 2])  # (B, 2, H, W)
    corner = places.floor()
    part = places - corner
    extent = torch.stack([photos.rows[index], photos.columns[index]], dim=1)[:, :, None, None]
    corner = corner.long()
    near = torch.minimum(corner.clamp(min=0), extent - 1)
    far = torch.minimum((corner + 1).clamp(min=0), extent - 1)
    first, stride = photos.first[index][:, None, None], extent[:, 1]
    top, bottom = near[:, 0] * stride + first, far[:, 0] * stride + first
    left, right = near[:, 1], far[:, 1]
    taps = [photos.pixels[down + across] for down in (top, bottom) for across in (left, right)]
    below, beyond = part[:, 0], part[:, 1]
    above, before = (1 - below) / _BYTE, 1 - beyond
    below = below / _BYTE
    weights = (above * before, above * beyond, below * before, below * beyond)
    # four bytes a pixel: all channels in one step
    pictures = _bytes(taps[0]) * weights[0][..., None]
    for tap, weight in zip(taps[1:], weights[1:], strict=True):
        pictures += _bytes(tap) * weight[..., None]
    nearest = torch.where(
        part[:, 0] < _HALF,
        torch.where(part[:, 1] < _HALF, taps[0], taps[1]),
        torch.where(part[:, 1] < _HALF, taps[2], taps[3]),
    )
    return (
        pictures[..., :_CLASS_BYTE].permute(0, 3, 1, 2).contiguous(),
        _bytes(nearest)[..., _CLASS_BYTE].contiguous(),
    )


def _bytes(values: Tensor) -> Tensor:
    """Return int32 of shape (B, H, W) as uint8 of shape (B, H, W, 4), lowest byte first."""
    return values.view(torch.uint8).view(*values.shape, 4)


def placed(marks: Tensor, matrix: Tensor, size: tuple[int, int]) -> Placed:
    """Return marks, float32 of shape (B, K, MARK_COLUMNS) in the view, as they lie in crops."""
    centre = in_crops(marks[:, :, :2], matrix)
    outline = in_crops(marks[:, :, FIRST_OUTLINE:].reshape(len(marks), -1, 2), matrix)
    outline = outline.view(*marks.shape[:2], OUTLINE_POINTS, 2)
    extent = outline.amax(dim=2) - outline.amin(dim=2)
    limit = constant(size, marks.device)
    inside = ((centre + 0.5 >= 0) & (centre + 0.5 < limit)).all(dim=2)  # NaN is never inside
    return Placed(centre, extent, marks[:, :, :FIRST_OUTLINE], inside)
