"""The florets network: florets and anthers in a straightened strip at 20 px/mm.

Measured with onnxruntime on two cores of a server processor with AVX-512 and random weights: about
175 ms for a strip of 1408 x 480 pixels, 2.4 million parameters.
"""

from __future__ import annotations

import math

import torch
from torch import Tensor, nn

from spikecheck.model_training.blocks import ConvUnit
from spikecheck.model_training.encoder import Pyramid, Shape
from spikecheck.model_training.strangeness import Strangeness
from spikecheck.networks.outputs import FLORET_CHANNELS, FloretMap

FLORETS_SHAPE = Shape(stem=32, widths=(64, 96, 160, 240), depths=(2, 2, 3, 3), merged=(96, 80, 64))
_HEAD_WIDTH = 96
_FIRST_SPREAD = 0.01  # of the last weights
_RARE = 0.01  # first guess of a heat map, so that the first steps are calm (Lin et al. 2017, focal)


class FloretsNetwork(nn.Module):
    """Pyramid with one head for all maps.

    Parameters
    ----------
    shape
        Widths and depths.
    """

    output_names = ("maps", "strangeness")

    def __init__(self, shape: Shape = FLORETS_SHAPE) -> None:
        super().__init__()
        self.pyramid = Pyramid(shape)
        self.head = nn.Sequential(
            ConvUnit(shape.merged[-1], _HEAD_WIDTH), nn.Conv2d(_HEAD_WIDTH, FLORET_CHANNELS, 1)
        )
        self.strangeness = Strangeness(shape.widths[-1])
        with torch.no_grad():
            nn.init.normal_(self.head[1].weight, std=_FIRST_SPREAD)
            for channel in (FloretMap.ANTHER_HEAT, FloretMap.FLORET_HEAT):
                self.head[1].bias[channel] = math.log(_RARE / (1 - _RARE))

    def forward(self, images: Tensor) -> tuple[Tensor, Tensor]:
        """Return maps and strangeness.

        Parameters
        ----------
        images
            float32 of shape (N, 3, H, W), RGB, 0..1, H and W multiples of 32.

        Returns
        -------
        tuple
            ``maps`` of shape (N, 20, H / 4, W / 4), see
            :class:`~spikecheck.networks.outputs.FloretMap`; ``strangeness`` of shape (N, 1).
        """
        maps, features = self.looked_at(images)
        return maps, self.strangeness(features)

    def looked_at(self, images: Tensor) -> tuple[Tensor, Tensor]:
        """Return maps and the features, (N, F), that strangeness rests on: those of the spike."""
        fine, coarse = self.pyramid(images)
        maps = self.head(fine)
        tissue = maps[:, FloretMap.TISSUE : FloretMap.ANTHER_HEAT].softmax(dim=1)
        spike = nn.functional.avg_pool2d(tissue[:, 1:2], 8) + 1e-3
        features = (coarse * spike).sum(dim=(2, 3)) / spike.sum(dim=(2, 3))
        return maps, features
