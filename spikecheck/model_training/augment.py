"""Varies light, colour and camera of a batch, on the device.

The ranges are own choices: wide enough that the photo sets' own cameras are no crutch, narrow
enough that an anther's stage is still told by its colour.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import torch
from torch.nn.functional import conv2d, interpolate, pad

from spikecheck.model_training.class_map import UNKNOWN_CLASS
from spikecheck.model_training.coarser import coarser
from spikecheck.model_training.jpeg_like import jpeg_like
from spikecheck.model_training.on_device import constant

if TYPE_CHECKING:
    from torch import Tensor

_SRGB_GAMMA = 2.2  # near enough to vary exposure in linear light
_WHITE_SPREAD = 0.07  # standard deviation of ln of a channel's gain
_GAMMA_SPREAD = 0.10
_SATURATION = (0.7, 1.3)
_HUE = math.radians(5)
_KERNEL_REACH = 4
_LUMA = (0.299, 0.587, 0.114)  # ITU-R BT.601
_COLOUR_PARTS = (
    3 * (_LUMA,),
    tuple(tuple((row == c) - _LUMA[c] for c in range(3)) for row in range(3)),
    tuple(tuple((0.0, 3**-0.5, -(3**-0.5))[(row - c) % 3] for c in range(3)) for row in range(3)),
)
"""Grey, what is not grey, and its crossed differences as matrices of red, green and blue."""
_COARSE = (0.2, 0.9)  # resolution of coarse pictures, share of the others'
_QUALITY = (35.0, 95.0)
_PATCHED = 0.25  # share of pictures with a patch over them
_PATCH = (0.04, 0.16)  # its sides, share of the picture's


@dataclass(frozen=True, slots=True)
class Strength:
    """How strongly a batch is varied.

    Parameters
    ----------
    exposure
        Standard deviation of ln of the gain in linear light.
    blur_px
        Largest standard deviation of the blur, px.
    blurred, sharpened, rounded, coarse
        Shares of pictures blurred, sharpened, rounded like JPEG, taken at lower resolution.
    noise
        Largest standard deviation of the noise, of 0..1.
    """

    exposure: float
    blur_px: float
    blurred: float
    sharpened: float
    rounded: float
    coarse: float
    noise: float


FLORETS_STRENGTH = Strength(0.25, 1.5, 0.35, 0.25, 0.5, 0.2, 0.04)
OVERVIEW_STRENGTH = Strength(0.15, 0.8, 0.25, 0.25, 0.3, 0.1, 0.03)


def photographed(images: Tensor, strength: Strength) -> tuple[Tensor, Tensor]:
    """Vary light, colour and camera.

    Parameters
    ----------
    images
        float32 of shape (B, 3, H, W), 0..1; H and W multiples of 8.
    strength
        How strongly.

    Returns
    -------
    tuple
        The pictures, and whether each lost detail, bool of shape (B,).
    """
    count, device = len(images), images.device

    def chance() -> Tensor:
        return torch.rand(count, device=device)

    images = _coloured(images, strength.exposure)
    coarse = round(strength.coarse * count)
    if coarse:
        low, high = _COARSE
        factor = low + (high - low) * torch.rand(coarse, device=device)
        images[:coarse] = coarser(images[:coarse], factor)
    kind = chance()
    spread = 0.3 + (strength.blur_px - 0.3) * torch.rand(count, 2, device=device)
    blurs = kind < strength.blurred
    sharpens = kind > 1 - strength.sharpened
    amount = torch.where(blurs, -1.0, torch.where(sharpens, 1.2 * chance(), 0.0))
    images = torch.lerp(images, _blurred(images, spread), -amount.view(-1, 1, 1, 1))
    images = _noisy(images, strength.noise * chance() ** 2).clamp_(0, 1)
    rounded = round(strength.rounded * count)
    if rounded:  # the last ones; coarse are the first ones
        low, high = _QUALITY
        quality = low + (high - low) * torch.rand(rounded, device=device)
        images[-rounded:] = jpeg_like(images[-rounded:], quality)
    lost = blurs | (torch.arange(count, device=device) < coarse)
    return images, lost


def patched(images: Tensor, classes: Tensor) -> tuple[Tensor, Tensor]:
    """Lay a plain patch over some pictures; what is under it is unknown.

    Parameters
    ----------
    images, classes
        float32 of shape (B, 3, H, W) and uint8 of shape (B, H, W).
    """
    count, _, height, width = images.shape
    device = images.device
    low, high = _PATCH
    sides = low + (high - low) * torch.rand(count, 2, device=device)
    corner = torch.rand(count, 2, device=device) * (1 - sides)
    row = torch.arange(height, device=device)[None] / height
    column = torch.arange(width, device=device)[None] / width
    rows = (row >= corner[:, :1]) & (row < corner[:, :1] + sides[:, :1])
    columns = (column >= corner[:, 1:]) & (column < corner[:, 1:] + sides[:, 1:])
    rows = rows & (torch.rand(count, 1, device=device) < _PATCHED)
    under = rows[:, :, None] & columns[:, None, :]
    colour = torch.rand(count, 3, 1, 1, device=device)
    return (
        torch.where(under[:, None], colour, images),
        torch.where(under, UNKNOWN_CLASS, classes),
    )


def _coloured(images: Tensor, exposure: float) -> Tensor:
    count, device = len(images), images.device

    def normal(*shape: int) -> Tensor:
        return torch.randn(count, *shape, device=device).view(count, -1, 1, 1)

    gain = torch.exp(exposure * normal(1) + _WHITE_SPREAD * normal(3))
    gamma = torch.exp(_GAMMA_SPREAD * normal(1)) / _SRGB_GAMMA
    images = (images.clamp(min=1e-4) ** _SRGB_GAMMA * gain).clamp(1e-4, 1) ** gamma
    low, high = _SATURATION
    saturation = low + (high - low) * torch.rand(count, 1, 1, device=device)
    angle = _HUE * (2 * torch.rand(count, 1, 1, device=device) - 1)
    # what is not grey is weakened or strengthened and turned about the grey axis, all in one
    # matrix; for small angles a part of the crossed differences is added
    grey, chroma, crossed = (constant(part, device) for part in _COLOUR_PARTS)
    mixed = grey + saturation * (torch.cos(angle) * chroma + torch.sin(angle) * crossed)
    return torch.matmul(mixed, images.flatten(2)).view(images.shape)


def _blurred(images: Tensor, spread: Tensor) -> Tensor:
    """Blur each picture by its own Gaussian, ``spread`` (B, 2) px down and across."""
    count, channels, height, width = images.shape
    reach = torch.arange(-_KERNEL_REACH, _KERNEL_REACH + 1, device=images.device)
    kernel = torch.exp(-(reach**2) / (2 * spread[:, :, None] ** 2))
    kernel = kernel / kernel.sum(dim=2, keepdim=True)
    kernel = kernel[:, None].expand(-1, channels, -1, -1).reshape(count * channels, 2, -1)
    flat = images.reshape(1, count * channels, height, width)
    edges = (_KERNEL_REACH,) * 4
    flat = pad(flat, edges, mode="replicate")
    flat = conv2d(flat, kernel[:, 0, None, :, None], groups=count * channels)
    flat = conv2d(flat, kernel[:, 1, None, None, :], groups=count * channels)
    return flat.view(count, channels, height, width)


def _noisy(images: Tensor, spread: Tensor) -> Tensor:
    """Add grain: half fine, half blotched as after a camera's own smoothing."""
    count, channels, height, width = images.shape
    fine = torch.randn_like(images)
    blotched = torch.randn(count, channels, height // 2, width // 2, device=images.device)
    blotched = interpolate(blotched, size=(height, width), mode="nearest")
    share = torch.rand(count, 1, 1, 1, device=images.device)
    spread = spread.view(-1, 1, 1, 1)
    return images.addcmul(spread * share, fine).addcmul_(spread * (1 - share), blotched)
