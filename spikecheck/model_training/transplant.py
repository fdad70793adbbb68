"""Sets anthers of other crops of a batch into a crop, so that they are seen in other florets.

Rendered plants are few, and each anther stays in its floret: a network may learn by heart which
floret of which plant holds one. The ranges are own choices.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import torch
from torch.nn.functional import avg_pool2d

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.model_training.class_map import PixelClass
from spikecheck.model_training.marks import AntherColumn
from spikecheck.model_training.on_device import constant
from spikecheck.model_training.sampling import Placed
from spikecheck.model_training.targets_florets import LEAST_ANTHER_MM2
from spikecheck.model_training.transplant_pieces import drawn_pieces
from spikecheck.model_training.transplant_rim import middle_of, uniform
from spikecheck.model_training.transplant_spots import drawn_spots, holding_more

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.transplant_pieces import Pieces
    from spikecheck.model_training.transplant_spots import Spots

CHANCE = 0.5
"""Share of crops that get anthers."""
_SLOTS = (1.0, 0.5, 0.35)  # chances of the first, second and third anther of such a crop
_WINDOW_PX = 96
_SRGB_GAMMA = 2.2  # near enough to compare brightness in linear light
_LUMA = ((0.2126, 0.7152, 0.0722),)  # ITU-R BT.709, of linear light
_LIGHT = 2.0  # brightness is matched by at most this factor
_TINT = 1.25  # and each channel's share of it by at most this one
_DARKEST = 1e-4
_LEAST_LIT_PX = 60  # with fewer pixels of the spike to compare it is left alone
_SHADE = (0.6, 1.0)  # light in a cavity
_FAINTEST = 0.3  # weight of the faintest edge pixel


def transplanted(
    images: Tensor,
    classes: Tensor,
    anthers: Placed,
    florets: Placed,
    complete: Tensor,
    *,
    chance: float = CHANCE,
) -> tuple[Tensor, Tensor, Placed, Placed]:
    """Set up to three anthers of other crops into some crops, and pieces that are none.

    Parameters
    ----------
    images, classes
        float32 of shape (B, 3, H, W), 0..1, and uint8 of shape (B, H, W); they stay as they are.
    anthers, florets
        What is in the crops, K anthers each.
    complete
        bool of shape (B,): whether all anthers are listed; the other crops get none.
    chance
        Share of crops that get some.

    Returns
    -------
    tuple
        Pictures, class maps, anthers, K + 3 of each crop, and florets.
    """
    count, device = len(images), images.device
    pictures, labels = images.clone(), classes.clone()
    side = min(_WINDOW_PX, *images.shape[2:])
    crops = torch.arange(count, device=device).repeat(len(_SLOTS))
    pieces = drawn_pieces(images, classes, anthers, crops, side)
    spots = drawn_spots(classes, florets, crops)
    chosen = complete & (torch.rand(count, device=device) < chance)
    entries = [anthers]
    for number, share in enumerate(_SLOTS):  # one after the other, or they might overlap
        part = slice(number * count, (number + 1) * count)
        wanted = chosen & (torch.rand(count, device=device) < share)
        entry = _set_in(pictures, labels, pieces.of(part), spots.of(part), wanted)
        entries.append(entry)
        columns = holding_more(
            florets, entry.centre[:, 0], entry.columns[:, 0, AntherColumn.AREA_MM2]
        )
        florets = Placed(florets.centre, florets.size, columns, florets.inside)
    grown = Placed(
        torch.cat([entry.centre for entry in entries], dim=1),
        torch.cat([entry.size for entry in entries], dim=1),
        torch.cat([entry.columns for entry in entries], dim=1),
        torch.cat([entry.inside for entry in entries], dim=1),
    )
    return pictures, labels, grown, florets


def _set_in(
    pictures: Tensor, labels: Tensor, pieces: Pieces, spots: Spots, wanted: Tensor
) -> Placed:
    """Change pictures and class maps where ``wanted``; return the anthers set in, one a crop."""
    height, width = labels.shape[1:]
    steps = torch.arange(pieces.shown.shape[1], device=labels.device)
    corner = (spots.place - middle_of(pieces.shown)).round().long()
    rows, columns = corner[:, :1] + steps, corner[:, 1:] + steps
    inside = ((rows >= 0) & (rows < height))[:, :, None]
    inside = inside & ((columns >= 0) & (columns < width))[:, None]
    # beyond an edge the window goes on at the other one, where nothing is changed: so each pixel
    # is written once
    flat = ((rows % height)[:, :, None] * width + (columns % width)[:, None]).flatten(1)
    under = labels.flatten(1).gather(1, flat).view_as(pieces.classes)
    free = (under == PixelClass.BACKGROUND) | (under == PixelClass.SPIKE)
    shown = pieces.shown & inside & free & (wanted & spots.there)[:, None, None]
    area = shown.sum(dim=(1, 2)) / STRIP_PX_PER_MM**2
    done = area >= LEAST_ANTHER_MM2
    shown = shown & done[:, None, None]
    every = flat[:, None].expand(-1, 3, -1)
    there = pictures.flatten(2).gather(2, every).view_as(pieces.colours)
    gain = _gain(pieces, there, inside & (under == PixelClass.SPIKE), spots.shaded)
    colours = (pieces.colours * gain[:, :, None, None]).clamp(max=1)
    mixed = torch.where(shown[:, None], torch.lerp(there, colours, _weight(shown)), there)
    pictures.view(len(flat), 3, -1).scatter_(2, every, mixed.flatten(2))
    labels.view(len(flat), -1).scatter_(
        1, flat, torch.where(shown, pieces.classes, under).flatten(1)
    )
    return _entry(pieces, shown, corner, area, done & pieces.anther)


def _weight(shown: Tensor) -> Tensor:
    """Return how much of the piece shows, (B, 1, S, S): half at its edge, all further in."""
    around = avg_pool2d(shown[:, None].float(), 3, stride=1, padding=1)
    return (1.5 * around - 0.5).clamp(min=_FAINTEST)  # a straight edge has two thirds around


def _gain(pieces: Pieces, there: Tensor, spike: Tensor, shaded: Tensor) -> Tensor:
    """Return factors, (B, 3), of encoded colours that put the pieces into the light they get."""
    luma = constant(_LUMA, there.device)
    given, given_px = _light(pieces.colours, pieces.classes == PixelClass.SPIKE)
    here, here_px = _light(there, spike)
    lit = (given_px >= _LEAST_LIT_PX) & (here_px >= _LEAST_LIT_PX)
    ratio = here / given
    brighter = (here * luma).sum(dim=1) / (given * luma).sum(dim=1)
    # plants differ in colour too: half of the difference is laid to the light
    tint = (ratio / brighter[:, None]).sqrt().clamp(1 / _TINT, _TINT)
    light = torch.where(lit[:, None], tint * brighter.clamp(1 / _LIGHT, _LIGHT)[:, None], 1.0)
    shade = uniform(*_SHADE, len(ratio), device=ratio.device)
    light = light * torch.where(shaded, shade, 1.0)[:, None]
    return light ** (1 / _SRGB_GAMMA)


def _light(colours: Tensor, where: Tensor) -> tuple[Tensor, Tensor]:
    """Return mean linear colours, (B, 3), of pixels of windows, and their number, (B,)."""
    number = where.sum(dim=(1, 2))
    linear = colours.clamp(min=0) ** _SRGB_GAMMA
    mean = (linear * where[:, None]).sum(dim=(2, 3)) / number.clamp(min=1)[:, None]
    return mean.clamp(min=_DARKEST), number


def _entry(pieces: Pieces, shown: Tensor, corner: Tensor, area: Tensor, real: Tensor) -> Placed:
    """Return what shows of the pieces as anthers of the crops, one each; NaN where not real."""
    nan = torch.where(real, 0.0, torch.nan)[:, None]
    size = torch.stack([_extent(shown.any(dim=2)), _extent(shown.any(dim=1))], dim=1)
    column = torch.arange(pieces.columns.shape[1], device=area.device)
    known = torch.where(column > AntherColumn.COLUMN, pieces.columns, torch.nan)  # of no view
    columns = torch.where(column == AntherColumn.AREA_MM2, area[:, None], known) + nan
    centre = middle_of(shown) + corner + nan
    return Placed(centre[:, None], (size + nan)[:, None], columns[:, None], real[:, None])


def _extent(shown: Tensor) -> Tensor:
    """Return how many steps lie from the first to the last that is True, (B, S) to (B,)."""
    first, last = shown.byte().argmax(dim=1), shown.flip(1).byte().argmax(dim=1)
    return (shown.shape[1] - first - last).float()
