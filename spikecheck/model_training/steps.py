"""Takes the steps of a fit in the fastest way that works."""

from __future__ import annotations

import logging
from enum import StrEnum
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.answers import FittedAnswers
from spikecheck.model_training.recorded import RecordedStep, recorded_answers

if TYPE_CHECKING:
    from collections.abc import Callable

    from torch import Tensor, nn

    from spikecheck.model_training.photo_set import PhotoSet
    from spikecheck.model_training.task_florets import FloretsTask
    from spikecheck.model_training.task_overview import OverviewTask

_LARGEST_GRADIENT = 5.0
_LOG = logging.getLogger(__name__)


def compute_fast() -> None:
    """Choose the fastest way to compute, for pictures of one size, where three digits do."""
    torch.backends.cudnn.benchmark = True
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.allow_tf32 = True


class GraphMode(StrEnum):
    """What is recorded on a GPU and played back."""

    STEP = "step"
    """All from drawing crops to limiting the gradients."""
    NETWORK = "network"
    """The network, forward and backward."""
    NONE = "none"


_LESS = {GraphMode.STEP: GraphMode.NETWORK, GraphMode.NETWORK: GraphMode.NONE}


class Steps:
    """Computes the gradients of one batch after the other.

    Parameters
    ----------
    task
        Which network.
    network
        Its weights get the gradients.
    photos
        What is fitted on.
    batch
        Views a step, always as many.
    mode
        What to record; the most when None. Where it does not work, less is recorded, and the log
        tells so; nothing on a processor.
    """

    def __init__(
        self,
        task: FloretsTask | OverviewTask,
        network: nn.Module,
        photos: PhotoSet,
        batch: int,
        mode: GraphMode | None = None,
    ) -> None:
        self._task, self._photos, self._batch = task, photos, batch
        self._answers = FittedAnswers(network)
        self._weights = list(network.parameters())
        self.names: tuple[str, ...] = ()
        """Of the parts of the loss, after the first step."""
        self.mode = mode or GraphMode.STEP
        device = photos.pixels.device
        if device.type == "cuda":
            torch.cuda.set_device(device)  # where graphs are recorded
        else:
            if mode not in {None, GraphMode.NONE}:
                _LOG.warning("nothing is recorded: %s is no GPU", device)
            self.mode = GraphMode.NONE
        self._take: Callable[[Tensor], Tensor] | None = None

    def __call__(self, index: Tensor) -> Tensor:
        """Leave limited gradients in the weights; return the parts of the loss, (P,).

        They hold until the next call.
        """
        self._answers.train()
        while True:
            try:
                if self._take is None:
                    self._take = self._made()
                return self._take(index)
            except RuntimeError as error:
                if self.mode is GraphMode.NONE or isinstance(error, torch.cuda.OutOfMemoryError):
                    raise
                _LOG.warning("cannot record the %s: %s", self.mode, str(error).partition("\n")[0])
                self.mode, self._take = _LESS[self.mode], None
                _LOG.warning("goes on with --graph %s", self.mode)

    def _made(self) -> Callable[[Tensor], Tensor]:
        if self.mode is GraphMode.STEP:
            return RecordedStep(
                lambda index: self._gradients(self._answers, index), self._weights, self._batch
            )
        answers: nn.Module = self._answers
        if self.mode is GraphMode.NETWORK:
            blank = torch.zeros(self._batch, 3, *self._task.size, device=self._photos.pixels.device)
            answers = recorded_answers(FittedAnswers(self._answers.network).train(), blank)

        def take(index: Tensor) -> Tensor:
            for weight in self._weights:
                weight.grad = None
            return self._gradients(answers, index)

        return take

    def _gradients(self, answers: nn.Module, index: Tensor) -> Tensor:
        """Add gradients to the weights; nothing here may wait for the device."""
        parts = self._task.loss(answers, self._photos, index)
        self.names = tuple(parts)
        values = torch.stack(list(parts.values()))
        values.sum().backward()
        torch.nn.utils.clip_grad_norm_(self._weights, _LARGEST_GRADIENT)
        return values.detach()
