"""A ResNet-50 FPN instance-segmentation network of the usual size, for comparing time only.

Its weights are random: time does not depend on them. Sizes are those of the published networks:
ResNet-50 (He et al. 2016, Deep residual learning, table 1; the stride in the 3 x 3 convolution),
feature pyramid of 256 channels and a two-layer box head of 1024 (Lin et al. 2017, Feature pyramid
networks), a shared 3 x 3 region proposal head with 3 boxes a place on 5 levels (Ren et al. 2015).
Left out, so that the time is a lower bound: non-maximum suppression, cutting out the regions and
the mask head. Batch norm is folded away, as it is in a network made ready to run.
"""

from __future__ import annotations

from typing import Any

import torch
from torch import nn

ROWS, COLUMNS = 800, 1066
MULTIPLE = 32  # a picture is padded to whole multiples
REGIONS = 1000
_BLOCKS = (3, 4, 6, 3)
_WIDTHS = (64, 128, 256, 512)
_PYRAMID = 256
_BOXES, _CLASSES = 3, 91


class Bottleneck(nn.Module):
    """1 x 1, 3 x 3, 1 x 1 convolutions beside a shortcut."""

    def __init__(self, inputs: int, width: int, stride: int) -> None:
        super().__init__()
        outputs = 4 * width
        self.body = nn.Sequential(
            nn.Conv2d(inputs, width, 1), nn.ReLU(inplace=True),
            nn.Conv2d(width, width, 3, stride=stride, padding=1), nn.ReLU(inplace=True),
            nn.Conv2d(width, outputs, 1),
        )  # fmt: skip
        same = stride == 1 and inputs == outputs
        self.shortcut = nn.Identity() if same else nn.Conv2d(inputs, outputs, 1, stride=stride)

    def forward(self, maps: Any) -> Any:
        return torch.relu(self.body(maps) + self.shortcut(maps))


class ResNetFpn(nn.Module):
    """Backbone, pyramid, region proposals, box head."""

    def __init__(self) -> None:
        super().__init__()
        self.stem = nn.Sequential(
            nn.Conv2d(3, 64, 7, stride=2, padding=3), nn.ReLU(inplace=True),
            nn.MaxPool2d(3, stride=2, padding=1),
        )  # fmt: skip
        stages, inputs = [], 64
        for number, (blocks, width) in enumerate(zip(_BLOCKS, _WIDTHS, strict=True)):
            stage = [Bottleneck(inputs, width, 1 if number == 0 else 2)]
            stage += [Bottleneck(4 * width, width, 1) for _ in range(blocks - 1)]
            stages.append(nn.Sequential(*stage))
            inputs = 4 * width
        self.stages = nn.ModuleList(stages)
        self.inner = nn.ModuleList(nn.Conv2d(4 * width, _PYRAMID, 1) for width in _WIDTHS)
        self.outer = nn.ModuleList(nn.Conv2d(_PYRAMID, _PYRAMID, 3, padding=1) for _ in _WIDTHS)
        self.proposals = nn.Sequential(
            nn.Conv2d(_PYRAMID, _PYRAMID, 3, padding=1), nn.ReLU(inplace=True),
            nn.Conv2d(_PYRAMID, 5 * _BOXES, 1),
        )  # fmt: skip
        self.boxes = nn.Sequential(
            nn.Flatten(), nn.Linear(_PYRAMID * 49, 1024), nn.ReLU(inplace=True),
            nn.Linear(1024, 1024), nn.ReLU(inplace=True), nn.Linear(1024, 5 * _CLASSES),
        )  # fmt: skip

    def forward(self, images: Any, regions: Any) -> tuple[Any, ...]:
        """Return proposals of five levels and the answers for ``regions``, (1000, 256, 7, 7)."""
        maps, levels = self.stem(images), []
        for stage in self.stages:
            maps = stage(maps)
            levels.append(maps)
        merged = self.inner[-1](levels[-1])
        pyramid = [self.outer[-1](merged)]
        for number in (2, 1, 0):
            side = self.inner[number](levels[number])
            merged = side + nn.functional.interpolate(merged, size=side.shape[2:])
            pyramid.append(self.outer[number](merged))
        pyramid.append(nn.functional.max_pool2d(pyramid[0], 1, stride=2))
        return (*(self.proposals(level) for level in pyramid), self.boxes(regions))


def inputs(rows: int = ROWS, columns: int = COLUMNS) -> tuple[Any, Any]:
    """Return a picture, padded, and regions as they would be cut out of the pyramid."""
    padded = [-(-side // MULTIPLE) * MULTIPLE for side in (rows, columns)]
    return torch.rand(1, 3, *padded), torch.rand(REGIONS, _PYRAMID, 7, 7)
