"""The running average of a network's weights, which does better than the last ones.

Polyak and Juditsky 1992 (SIAM J. Control Optim. 30: 838-855); the exponential form and the quick
start of its decay are common practice.
"""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

import torch

if TYPE_CHECKING:
    from torch import Tensor, nn

_DECAY = 0.998
_EVERY = 4  # steps: the average moves slowly, copying takes time


class Averaged:
    """Exponential average of weights and of batch norm's statistics.

    Parameters
    ----------
    network
        The network fitted; the average starts from it.
    """

    def __init__(self, network: nn.Module) -> None:
        self.network = copy.deepcopy(network).eval().requires_grad_(False)
        self._updates = 0
        # a network keeps its tensors, also when weights are loaded into it
        self._own, self._new = _values(self.network), _values(network)

    @torch.no_grad()
    def update(self) -> None:
        """Take a step towards the network, in every fourth call."""
        self._updates += 1
        if self._updates % _EVERY:
            return
        decay = min(_DECAY, (1 + self._updates) / (10 + self._updates)) ** _EVERY
        torch._foreach_lerp_(self._own[0], self._new[0], 1 - decay)
        for own, new in zip(self._own[1], self._new[1], strict=True):
            own.copy_(new)

    def state(self) -> dict[str, Any]:
        """Return all of it, for a checkpoint."""
        return {"weights": self.network.state_dict(), "updates": self._updates}

    def restore(self, state: dict[str, Any]) -> None:
        """Go on from :meth:`state`."""
        self.network.load_state_dict(state["weights"])
        self._updates = int(state["updates"])


def _values(network: nn.Module) -> tuple[list[Tensor], list[Tensor]]:
    """Return what is averaged, and what is only counted."""
    values = [*network.parameters(), *network.buffers()]
    return (
        [value for value in values if value.is_floating_point()],
        [value for value in values if not value.is_floating_point()],
    )
