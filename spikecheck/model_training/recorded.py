"""Records a step on a GPU once and plays it back: one launch in place of thousands.

A step of small operations is bound by the processor that launches them. CUDA graphs
(:class:`torch.cuda.CUDAGraph`) launch a recorded sequence at once. What is recorded must not wait
for the device, must not depend on values in the processor's memory, and must keep all shapes.
"""

from __future__ import annotations

import warnings
from typing import TYPE_CHECKING

import torch

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from torch import Tensor, nn

WARM_UP = 3
"""Steps taken as usual before one is recorded, so that libraries have made their choices."""


class RecordedStep:
    """A function of numbers of views that leaves gradients, recorded at its fourth call.

    Parameters
    ----------
    step
        Takes int64 of shape (B,), on the device, adds gradients to the weights and returns
        figures that do not hang on them.
    weights
        That get gradients.
    batch
        B.

    Raises
    ------
    RuntimeError
        By a call, if the step waits for the device or cannot be recorded; what PyTorch says.
    """

    def __init__(
        self, step: Callable[[Tensor], Tensor], weights: Sequence[nn.Parameter], batch: int
    ) -> None:
        self._step, self._weights = step, list(weights)
        self._device = self._weights[0].device
        self._index = torch.zeros(batch, dtype=torch.int64, device=self._device)
        # recorded on the stream of the steps before, where libraries have their room
        self._stream = torch.cuda.Stream(self._device)
        self._calls = 0
        self._graph: torch.cuda.CUDAGraph | None = None
        self._figures = torch.empty(0)

    def __call__(self, index: Tensor) -> Tensor:
        """Take the step; the figures returned hold until the next call."""
        self._index.copy_(index, non_blocking=True)
        if self._graph is None and self._calls < WARM_UP:
            self._calls += 1
            return self._as_usual(strict=self._calls == WARM_UP)
        if self._graph is None:
            self._graph = self._record()
        self._graph.replay()
        return self._figures

    def _as_usual(self, *, strict: bool) -> Tensor:
        """Take the step unrecorded; if ``strict``, whatever waits for the device is an error.

        A failed recording may leave the random numbers unusable, this leaves nothing behind.
        """
        _forget(self._weights)
        current = torch.cuda.current_stream(self._device)
        self._stream.wait_stream(current)
        with torch.cuda.stream(self._stream), warnings.catch_warnings():
            warnings.simplefilter("ignore")  # that the mode does not see everything
            try:
                torch.cuda.set_sync_debug_mode("error" if strict else "default")
                figures = self._step(self._index)
            finally:
                torch.cuda.set_sync_debug_mode("default")
        current.wait_stream(self._stream)
        return figures

    def _record(self) -> torch.cuda.CUDAGraph:
        # without gradients the first ones made belong to the recording, and each replay writes
        # them anew
        _forget(self._weights)
        graph = torch.cuda.CUDAGraph()
        try:
            with torch.cuda.graph(graph, stream=self._stream):
                self._figures = self._step(self._index)
        except RuntimeError:
            _forget(self._weights)
            _renew_random_numbers(self._device)
            raise
        return graph


def _forget(weights: Sequence[nn.Parameter]) -> None:
    for weight in weights:
        weight.grad = None


def _renew_random_numbers(device: torch.device) -> None:
    """Give the device's generator a new state: that of a failed recording refuses to work."""
    number = torch.cuda.current_device() if device.index is None else device.index
    fresh = torch.Generator(device)
    fresh.manual_seed(torch.initial_seed())
    torch.cuda.default_generators[number].graphsafe_set_state(fresh.graphsafe_get_state())


def recorded_answers(answers: nn.Module, images: Tensor) -> nn.Module:
    """Record a network's forward and backward pass for pictures of one shape.

    Parameters
    ----------
    answers
        In training mode, on a GPU. In any other mode it works as before.
    images
        Of the shape.
    """
    kept = {name: value.clone() for name, value in answers.state_dict().items()}
    recorded: nn.Module = torch.cuda.make_graphed_callables(
        answers, (images,), num_warmup_iters=WARM_UP, allow_unused_input=True
    )
    # trials with the pictures went into the running statistics
    answers.load_state_dict(kept)
    return recorded
