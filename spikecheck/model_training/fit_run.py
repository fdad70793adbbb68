"""A run that fits a network: everything that changes on the way, a step, and the end."""

from __future__ import annotations

import logging
import math
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import torch

from spikecheck.model_training.averaged import Averaged
from spikecheck.model_training.run_files import (
    CHECKPOINT,
    FITTED,
    load_values,
    log_line,
    save_whole,
    start_weights,
)
from spikecheck.model_training.task_florets import FloretsTask
from spikecheck.model_training.task_overview import OverviewTask

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from torch import Tensor, nn

    from spikecheck.model_training.photo_set import PhotoSet
    from spikecheck.model_training.steps import Steps

TASKS: dict[str, type[FloretsTask | OverviewTask]] = {
    "florets": FloretsTask, "overview": OverviewTask,
}  # fmt: skip
STRANGENESS_VIEWS = 1000
_PEAK_RATE, _FINE_TUNING_RATE = 2e-3, 4e-4
_WARM_UP = 0.05  # share of the run
_LAST_RATE = 0.01  # of the peak
_DECAY = 0.05
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Budget:
    """How long a run goes on and how often it looks up.

    Parameters
    ----------
    minutes
        Of fitting; None when ``steps`` counts.
    steps
        Steps in all; None when ``minutes`` counts.
    save_every_s, measure_every_s
        Seconds between checkpoints, and between looks at the validation set.
    measured
        Photos of the validation set looked at.
    views
        Views of the training set that strangeness is settled on.
    """

    minutes: float | None = None
    steps: int | None = None
    save_every_s: float = 60.0
    measure_every_s: float = 120.0
    measured: int = 150
    views: int = STRANGENESS_VIEWS

    def gone(self, step: int, seconds: float) -> float:
        """Return the share that is used up, 0..1."""
        if self.steps is not None:
            return min(1.0, step / self.steps)
        return min(1.0, seconds / (60 * (self.minutes or 1e-9)))


class Run:
    """Everything that changes while a network is fitted.

    Parameters
    ----------
    task
        Which network.
    folder
        Of the run; goes on from the checkpoint in it.
    device
        Where it is fitted.
    seed
        Of first weights and variation.
    start
        A run or a file of it to start from, or None.
    """

    def __init__(
        self,
        task: FloretsTask | OverviewTask,
        folder: Path,
        device: torch.device,
        seed: int,
        start: Path | None,
    ) -> None:
        torch.manual_seed(seed)
        self.task, self.folder, self.device = task, folder, device
        self.network = task.network().to(device).to(memory_format=torch.channels_last)
        if start is not None:
            self.network.load_state_dict(start_weights(start, device))
        self.peak = _PEAK_RATE if start is None else _FINE_TUNING_RATE
        self.averaged = Averaged(self.network)
        self.optimiser = torch.optim.AdamW(_groups(self.network), lr=self.peak, fused=True)
        self.step, self.seconds = 0, 0.0
        path = folder / CHECKPOINT
        if path.is_file():
            values = load_values(path, device)
            self.network.load_state_dict(values["network"])
            self.optimiser.load_state_dict(values["optimiser"])
            self.averaged.restore(values["averaged"])
            self.step, self.seconds = values["step"], values["seconds"]
            torch.manual_seed(seed + self.step)
            _LOG.info("goes on at step %d", self.step)

    def advance(self, steps: Steps, index: Tensor, gone: float) -> Tensor:
        """Take one step; return the parts of the loss, (P,), which hold until the next one."""
        for group in self.optimiser.param_groups:
            group["lr"] = self.peak * _rate(gone)
        parts = steps(index)
        self.optimiser.step()
        self.averaged.update()
        self.step += 1
        return parts

    @torch.no_grad()
    def measure(self, validation: PhotoSet, budget: Budget) -> dict[str, float]:
        """Return how well the averaged weights do on a validation set."""
        with _sizes_vary():
            figures = self.task.measure(self.averaged.network, validation, budget.measured)
        text = " ".join(f"{name} {value:.3f}" for name, value in figures.items())
        _LOG.info("step %d: %s", self.step, text)
        return figures

    def save(self) -> None:
        """Write the checkpoint."""
        save_whole(
            {
                "network": self.network.state_dict(), "optimiser": self.optimiser.state_dict(),
                "averaged": self.averaged.state(), "step": self.step, "seconds": self.seconds,
            },
            self.folder / CHECKPOINT,
        )  # fmt: skip

    @torch.no_grad()
    def finish(self, photos: PhotoSet, validation: PhotoSet | None, budget: Budget) -> None:
        """Settle strangeness on the photos fitted on, measure and write what came out."""
        network = self.averaged.network
        with _sizes_vary():
            features = self.task.features(network, photos, budget.views).float()
        network.strangeness.settle(features)
        strange = network.strangeness(features).flatten()
        figures = {} if validation is None else self.measure(validation, budget)
        figures["strangeness_999"] = float(strange.quantile(0.999))
        if validation is not None:
            with _sizes_vary():
                held_out = self.task.features(network, validation, budget.measured).float()
            figures["strangeness_held_out_999"] = float(
                network.strangeness(held_out).flatten().quantile(0.999)
            )
        log_line(self.folder, {"step": self.step, "measured": figures})
        save_whole(
            {
                "averaged": self.averaged.state(), "figures": figures, "step": self.step,
                "seconds": self.seconds, "set_sha256": photos.sha256, "photos": len(photos),
            },
            self.folder / FITTED,
        )  # fmt: skip


@contextmanager
def _sizes_vary() -> Iterator[None]:
    """Leave out trials of the fastest convolution, which pay only for pictures of one size."""
    before = torch.backends.cudnn.benchmark
    torch.backends.cudnn.benchmark = False
    try:
        yield
    finally:
        torch.backends.cudnn.benchmark = before


def _rate(gone: float) -> float:
    """Return the learning rate's share of its peak: one cycle (Smith and Topin 2018)."""
    if gone < _WARM_UP:
        return 0.05 + 0.95 * gone / _WARM_UP
    turn = (gone - _WARM_UP) / (1 - _WARM_UP)
    return _LAST_RATE + (1 - _LAST_RATE) * 0.5 * (1 + math.cos(math.pi * turn))


def _groups(network: nn.Module) -> list[dict[str, Any]]:
    """Return the weights of convolutions with decay, offsets and norms without."""
    decayed = [p for p in network.parameters() if p.ndim > 1]
    plain = [p for p in network.parameters() if p.ndim <= 1]
    return [{"params": decayed, "weight_decay": _DECAY}, {"params": plain, "weight_decay": 0.0}]
