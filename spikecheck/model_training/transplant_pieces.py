"""Pieces cut out of the other crops of a batch, turned and scaled, to be set in elsewhere."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.class_map import PixelClass
from spikecheck.model_training.marks import AntherColumn
from spikecheck.model_training.sampling import similarity
from spikecheck.model_training.transplant_rim import not_hidden, uniform

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.sampling import Placed

_LEAST_TAKEN_MM2 = 0.15  # less of an anther gives no piece worth taking
_SCALE = 1.25  # pieces are shown at most so much larger or smaller
_CROWDED = 0.12  # no anther is taken whose surroundings others' boxes cover by a larger share
_BOX_SHARE, _BOX_PX = 0.6, 1.5  # reach from the centre, share of the box and beyond that
_PLANT = 0.25  # share of pieces that have an anther's shape but show the plant beside it
_BESIDE = (1.0, 2.0)  # how far, in reaches of the anther
_HALF = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Pieces to be set in, each in the middle of a window of side S.

    Some are no anthers: what has been set in must not be told by its outline alone.

    Parameters
    ----------
    colours
        float32 of shape (R, 3, S, S), 0..1: the crop it comes from, all of the window.
    classes
        uint8 of shape (R, S, S): the class map of that crop.
    shown
        bool of shape (R, S, S): the pixels that are to show; none where no other crop has an
        anther to give.
    anther
        bool of shape (R,): whether it shows an anther; else it shows the plant.
    columns
        float32 of shape (R, C): the anther's row, :class:`AntherColumn`.
    """

    colours: Tensor
    classes: Tensor
    shown: Tensor
    anther: Tensor
    columns: Tensor

    def of(self, part: slice) -> Pieces:
        """Return some of the pieces."""
        return Pieces(
            self.colours[part], self.classes[part], self.shown[part], self.anther[part],
            self.columns[part],
        )  # fmt: skip


def drawn_pieces(
    images: Tensor, classes: Tensor, anthers: Placed, crops: Tensor, side: int
) -> Pieces:
    """Draw pieces for crops, each out of another crop.

    Parameters
    ----------
    images, classes
        float32 of shape (B, 3, H, W), 0..1, and uint8 of shape (B, H, W).
    anthers
        What is in the crops.
    crops
        int64 of shape (R,): for which crop each piece is.
    side
        S, px.
    """
    count, device = len(crops), images.device
    donor, which, found = _chosen(anthers, crops, (images.shape[2], images.shape[3]))
    centre = torch.nan_to_num(anthers.centre[donor, which])
    columns = anthers.columns[donor, which]
    half = _reach(torch.nan_to_num(anthers.size[donor, which]))
    ln_scale = math.log(_SCALE)
    scale = uniform(-ln_scale, ln_scale, count, device=device).exp()
    scale = torch.minimum(scale, side / (2 * half).norm(dim=1))  # it fits however it is turned
    angle = uniform(-math.pi, math.pi, count, device=device)
    mirrored = torch.rand(count, device=device) < _HALF
    matrix = similarity(centre, 1 / scale, angle, mirrored, (side, side))
    places = _places(matrix, side)
    labels = _classes_at(classes, donor, places)
    stage = columns[:, AntherColumn.STAGE, None, None]
    own = (labels >= PixelClass.GREEN_ANTHER) & (labels <= PixelClass.DEHISCED_ANTHER)
    own = own & (~torch.isfinite(stage) | (labels == stage + PixelClass.GREEN_ANTHER))
    near = ((places - centre[:, :, None, None]).abs() <= half[:, :, None, None]).all(dim=1)
    shape = own & near & found[:, None, None]
    anther = torch.rand(count, device=device) >= _PLANT
    beside = half.amax(dim=1, keepdim=True) * _beside(count, device)
    places = places + torch.where(anther[:, None], 0.0, beside)[:, :, None, None]
    labels = _classes_at(classes, donor, places)
    fits = anther[:, None, None] | (labels == PixelClass.SPIKE)
    shown = shape & fits & not_hidden(shape)
    return Pieces(_colours_at(images, donor, places), labels, shown, anther, columns)


def _chosen(anthers: Placed, crops: Tensor, size: tuple[int, int]) -> tuple[Tensor, Tensor, Tensor]:
    """Return crop and number of an anther for each piece, and whether there is one; (R,) each.

    Crops are drawn evenly, so that one full of anthers is not seen in all the others.
    """
    reach = _reach(anthers.size)
    low, high = anthers.centre - reach, anthers.centre + reach
    area = torch.nan_to_num(anthers.columns[..., AntherColumn.AREA_MM2], nan=torch.inf)
    whole = (low >= 0).all(dim=2) & (high[..., 0] < size[0]) & (high[..., 1] < size[1])
    usable = anthers.inside & whole & (area >= _LEAST_TAKEN_MM2)  # NaN sizes are never whole
    usable = usable & ~_crowded(low, high, anthers)
    other = crops[:, None] != torch.arange(len(usable), device=crops.device)
    gives = other & usable.any(dim=1)
    donor = (torch.rand(gives.shape, device=crops.device) * gives).argmax(dim=1)
    usable = usable[donor]
    which = (torch.rand(usable.shape, device=crops.device) * usable).argmax(dim=1)
    return donor, which, gives.any(dim=1)


def _reach(size: Tensor) -> Tensor:
    """Return how far to each side of its centre an anther is taken to go, px."""
    return size * _BOX_SHARE + _BOX_PX  # the centre is the mean place, not the box's middle


def _crowded(low: Tensor, high: Tensor, anthers: Placed) -> Tensor:
    """Return which anthers would bring much of another one along, (B, K)."""
    half = anthers.size[:, None] / 2
    near = torch.maximum(low[:, :, None], anthers.centre[:, None] - half)
    far = torch.minimum(high[:, :, None], anthers.centre[:, None] + half)
    common = torch.nan_to_num((far - near).clamp(min=0).prod(dim=3))
    own = torch.eye(low.shape[1], dtype=torch.bool, device=low.device)
    most = torch.where(own, 0.0, common).amax(dim=2)
    return most > _CROWDED * (high - low).prod(dim=2)


def _places(matrix: Tensor, side: int) -> Tensor:
    """Return where the pixels of the windows lie in the donors, (R, 2, S, S)."""
    steps = torch.arange(side, device=matrix.device, dtype=torch.float32)
    m = matrix[:, :, :, None, None]
    return m[:, :, 0] * steps[:, None] + (m[:, :, 1] * steps + m[:, :, 2])


def _beside(count: int, device: torch.device) -> Tensor:
    """Return steps in any direction, (R, 2)."""
    way = uniform(-math.pi, math.pi, count, device=device)
    return torch.stack([way.sin(), way.cos()], dim=1) * uniform(*_BESIDE, count, 1, device=device)


def _classes_at(classes: Tensor, donor: Tensor, places: Tensor) -> Tensor:
    """Return the nearest classes of donors at places, (R, S, S)."""
    rows = places[:, 0].round().long().clamp(0, classes.shape[1] - 1)
    columns = places[:, 1].round().long().clamp(0, classes.shape[2] - 1)
    return classes[donor[:, None, None], rows, columns]


def _colours_at(images: Tensor, donor: Tensor, places: Tensor) -> Tensor:
    """Return the colours of donors at places, bilinear, (R, 3, S, S)."""
    height, width = images.shape[2:]
    crop = donor[:, None, None]
    rows, columns = places[:, 0].clamp(0, height - 1), places[:, 1].clamp(0, width - 1)
    top, left = rows.long(), columns.long()
    below, right = (top + 1).clamp(max=height - 1), (left + 1).clamp(max=width - 1)
    down, along = (rows - top)[..., None], (columns - left)[..., None]
    last = images.permute(0, 2, 3, 1)
    upper = torch.lerp(last[crop, top, left], last[crop, top, right], along)
    lower = torch.lerp(last[crop, below, left], last[crop, below, right], along)
    return torch.lerp(upper, lower, down).permute(0, 3, 1, 2)
