"""The overview network: where the spike is, which way it points, how large a millimetre is.

Measured with onnxruntime on two cores of a server processor with AVX-512 and random weights: about
30 ms, 1.3 million parameters.
"""

from __future__ import annotations

import torch
from torch import Tensor, nn

from spikecheck.model_training.blocks import ConvUnit
from spikecheck.model_training.encoder import Pyramid, Shape
from spikecheck.model_training.strangeness import Strangeness
from spikecheck.networks.outputs import OVERVIEW_CHANNELS, OVERVIEW_GLOBALS

OVERVIEW_SHAPE = Shape(stem=24, widths=(48, 80, 128, 176), depths=(1, 2, 3, 3), merged=(64, 48, 48))
_HEAD_WIDTH = 48


class OverviewNetwork(nn.Module):
    """Pyramid with a head for the maps and one for the whole photo.

    Parameters
    ----------
    shape
        Widths and depths.
    """

    output_names = ("maps", "globals", "strangeness")

    def __init__(self, shape: Shape = OVERVIEW_SHAPE) -> None:
        super().__init__()
        width = shape.widths[-1]
        self.pyramid = Pyramid(shape)
        self.head = nn.Sequential(
            ConvUnit(shape.merged[-1], _HEAD_WIDTH), nn.Conv2d(_HEAD_WIDTH, OVERVIEW_CHANNELS, 1)
        )
        self.whole = nn.Sequential(
            nn.Linear(2 * width + OVERVIEW_CHANNELS, 128), nn.ReLU(),
            nn.Linear(128, OVERVIEW_GLOBALS),
        )  # fmt: skip
        self.strangeness = Strangeness(width)

    def forward(self, images: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        """Return maps, logits of the whole photo and strangeness.

        Parameters
        ----------
        images
            float32 of shape (N, 3, 512, 512), RGB, 0..1, letterboxed.

        Returns
        -------
        tuple
            ``maps`` of shape (N, 6, 128, 128), see
            :class:`~spikecheck.networks.outputs.OverviewMap`; ``globals`` of shape (N, 8),
            see :class:`~spikecheck.networks.outputs.OverviewGlobal`; ``strangeness`` of
            shape (N, 1).
        """
        maps, whole, features = self.looked_at(images)
        return maps, whole, self.strangeness(features)

    def looked_at(self, images: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        """Return maps, logits of the whole photo and the features, (N, F), of strangeness."""
        fine, coarse = self.pyramid(images)
        maps = self.head(fine)
        mean, most = coarse.mean(dim=(2, 3)), coarse.amax(dim=(2, 3))
        seen = maps.sigmoid().amax(dim=(2, 3))
        return maps, self.whole(torch.cat([mean, most, seen], dim=1)), mean
