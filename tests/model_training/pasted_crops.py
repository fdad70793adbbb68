"""Painted crops, as a florets step samples them, for tests of what is set into them."""

from __future__ import annotations

import math

import torch

from spikecheck.model_training.marks import FloretColumn
from spikecheck.model_training.sampling import Placed

NAN = math.nan
SIDE = 128
LONG, SHORT = 12.0, 5.0  # half axes of the anther, px
AREA_MM2 = math.pi * LONG * SHORT / 400


def batch(count=4, *, anthers=True, seed=0):
    """Crops with a spike down the middle, three open florets, and an anther in the last one."""
    noise = torch.Generator().manual_seed(seed)
    light = 0.4 + 0.4 * torch.rand(count, 1, 1, 1, generator=noise)
    images = light * (0.9 + 0.1 * torch.rand(count, 3, SIDE, SIDE, generator=noise))
    classes = torch.zeros(count, SIDE, SIDE, dtype=torch.uint8)
    classes[:, :, 24:104] = 1
    classes[:, :20, :60] = 2  # a hand
    florets = torch.tensor([[30.0, 64.0], [64.0, 64.0], [98.0, 64.0]]).repeat(count, 1, 1)
    about = torch.tensor([0, 0, 1.0, 1.0, 0.8, 0.0]).repeat(count, 3, 1)
    place, size = torch.full((2, count, 2, 2), NAN)
    columns = torch.full((count, 2, 6), NAN)
    if anthers:
        row, column = torch.meshgrid(torch.arange(SIDE), torch.arange(SIDE), indexing="ij")
        inside = ((row - 98) / SHORT) ** 2 + ((column - 64) / LONG) ** 2 <= 1
        for crop in range(count):
            classes[crop][inside] = 3 + crop % 3
            images[crop, :, inside] = torch.tensor([0.9, 0.1, 0.1 + 0.2 * (crop % 3)])[:, None]
            place[crop, 0] = torch.tensor([98.0, 64.0])
            size[crop, 0] = torch.tensor([2 * SHORT + 1, 2 * LONG + 1])
            columns[crop, 0] = torch.tensor([0, 0, crop % 3, 1.0, 0.0, AREA_MM2])
            about[crop, 2, FloretColumn.ANTHER_MM2] = AREA_MM2
    return (
        images, classes, Placed(place, size, columns, torch.isfinite(place[..., 0])),
        Placed(florets, torch.full((count, 3, 2), 30.0), about, torch.ones(count, 3).bool()),
        torch.ones(count).bool(),
    )  # fmt: skip
