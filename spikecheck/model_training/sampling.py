"""Takes crops out of packed views: a whole batch at once, turned, scaled and mirrored."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.channels import UNKNOWN_CLASS
from spikecheck.model_training.marks import FIRST_OUTLINE, OUTLINE_POINTS

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.photo_set import PhotoSet

_BYTE = 0xFF
_CLASS_SHIFT = 24


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
    middle = torch.tensor([(size[0] - 1) / 2, (size[1] - 1) / 2], device=centre.device)
    shift = centre - torch.matmul(turn, middle)
    return torch.cat([turn, shift[:, :, None]], dim=2)


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
    device = matrix.device
    row = torch.arange(height, device=device, dtype=torch.float32)[None, :, None]
    column = torch.arange(width, device=device, dtype=torch.float32)[None, None, :]
    m = matrix[:, :, :, None, None]
    rows = m[:, 0, 0] * row + m[:, 0, 1] * column + m[:, 0, 2]
    columns = m[:, 1, 0] * row + m[:, 1, 1] * column + m[:, 1, 2]
    last_row = (photos.rows[index] - 1)[:, None, None]
    last_column = (photos.columns[index] - 1)[:, None, None]
    first = photos.first[index][:, None, None]
    stride = photos.columns[index][:, None, None]

    def taken(r: Tensor, c: Tensor) -> Tensor:
        place = torch.minimum(r.clamp(min=0), last_row) * stride
        return photos.pixels[place + torch.minimum(c.clamp(min=0), last_column) + first]

    top, left = rows.floor().long(), columns.floor().long()
    down, right = rows - top, columns - left
    pictures = torch.zeros(len(index), 3, height, width, device=device)
    for dr in (0, 1):
        for dc in (0, 1):
            weight = (down if dr else 1 - down) * (right if dc else 1 - right)
            tap = taken(top + dr, left + dc)
            for channel in range(3):
                value = torch.bitwise_and(tap >> (8 * channel), _BYTE).float()
                pictures[:, channel] += weight * value
    nearest = taken((rows + 0.5).floor().long(), (columns + 0.5).floor().long())
    classes = torch.bitwise_and(nearest >> _CLASS_SHIFT, _BYTE).to(torch.uint8)
    return pictures / _BYTE, classes


def placed(marks: Tensor, matrix: Tensor, size: tuple[int, int]) -> Placed:
    """Return marks, float32 of shape (B, K, MARK_COLUMNS) in the view, as they lie in crops."""
    turn, shift = matrix[:, :, :2], matrix[:, :, 2]
    back = torch.linalg.inv(turn).transpose(1, 2)
    centre = torch.matmul(marks[:, :, :2] - shift[:, None], back)
    outline = marks[:, :, FIRST_OUTLINE:].reshape(*marks.shape[:2], OUTLINE_POINTS, 2)
    outline = torch.matmul(outline - shift[:, None, None], back[:, None])
    extent = outline.amax(dim=2) - outline.amin(dim=2)
    limit = torch.tensor(size, device=marks.device)
    inside = ((centre + 0.5 >= 0) & (centre + 0.5 < limit)).all(dim=2)  # NaN is never inside
    return Placed(centre, extent, marks[:, :, :FIRST_OUTLINE], inside)


def any_labelled(classes: Tensor) -> Tensor:
    """Return whether any pixel of a class map is labelled, bool of shape (B,)."""
    return (classes != UNKNOWN_CLASS).flatten(1).any(dim=1)
