"""What a network answers while it is fitted."""

from __future__ import annotations

from collections.abc import Callable

from torch import Tensor, nn

from spikecheck.model_training.blocks import mixed_precision

Answers = Callable[[Tensor], tuple[Tensor, ...]]
"""From pictures, (N, 3, H, W), to all outputs that have targets."""


class FittedAnswers(nn.Module):
    """The outputs of a network that have targets, in mixed precision; strangeness has none.

    Parameters
    ----------
    network
        With ``looked_at``, whose last output is what strangeness rests on.
    """

    def __init__(self, network: nn.Module) -> None:
        super().__init__()
        self.network = network

    def forward(self, images: Tensor) -> tuple[Tensor, ...]:
        """Return the outputs for pictures of shape (N, 3, H, W)."""
        with mixed_precision(images):
            answers: tuple[Tensor, ...] = self.network.looked_at(images)[:-1]
        return answers
