"""The part both networks share: from the picture to maps at a quarter of its size."""

from __future__ import annotations

from dataclasses import dataclass

from torch import Tensor, nn

from spikecheck.model_training.blocks import ConvUnit, Merge, Residual, WideView


@dataclass(frozen=True, slots=True)
class Shape:
    """Widths (channels) and depths (blocks) of a network.

    Parameters
    ----------
    stem
        Channels at half size.
    widths
        Channels at 1/4, 1/8, 1/16 and 1/32 of the size.
    depths
        Blocks there; at 1/4 and 1/8 residual ones, further down wide views.
    merged
        Channels on the way back at 1/16, 1/8 and 1/4.
    """

    stem: int
    widths: tuple[int, int, int, int]
    depths: tuple[int, int, int, int]
    merged: tuple[int, int, int]


class Pyramid(nn.Module):
    """Goes down to 1/32 of the size and back up to 1/4.

    Parameters
    ----------
    shape
        Widths and depths.
    """

    def __init__(self, shape: Shape) -> None:
        super().__init__()
        self.stem = ConvUnit(3, shape.stem, stride=2)
        stages, inputs = [], shape.stem
        for level, (width, depth) in enumerate(zip(shape.widths, shape.depths, strict=True)):
            kind = Residual if level < 2 else WideView  # noqa: PLR2004  (1/4 and 1/8)
            stages.append(
                nn.Sequential(
                    ConvUnit(inputs, width, stride=2), *(kind(width) for _ in range(depth))
                )
            )
            inputs = width
        self.stages = nn.ModuleList(stages)
        merges = []
        for width, fine in zip(shape.merged, reversed(shape.widths[:-1]), strict=True):
            merges.append(Merge(inputs, fine, width))
            inputs = width
        self.merges = nn.ModuleList(merges)

    def forward(self, images: Tensor) -> tuple[Tensor, Tensor]:
        """Return maps at 1/4 of the size and the coarsest ones, at 1/32.

        Parameters
        ----------
        images
            float32 of shape (N, 3, H, W), H and W multiples of 32.
        """
        maps = self.stem(images)
        levels = []
        for stage in self.stages:
            maps = stage(maps)
            levels.append(maps)
        coarsest = maps
        for merge, fine in zip(self.merges, reversed(levels[:-1]), strict=True):
            maps = merge(maps, fine)
        return maps, coarsest
