"""Measures how fast a network is fitted, so that a run can be started in the fastest way.

::

    python -m spikecheck.model_training.step_speed florets PACK [--device cuda:0]

Takes steps with batches of 32, 64 and 128 crops, recording all of a step, the network, or nothing,
and tells milliseconds a step and crops a second of each.
"""

from __future__ import annotations

import argparse
import logging
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.command import run as run_command
from spikecheck.model_training.fit_run import TASKS, Run
from spikecheck.model_training.photo_set import load_sets
from spikecheck.model_training.recorded import WARM_UP
from spikecheck.model_training.steps import GraphMode, Steps, compute_fast

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.model_training.photo_set import PhotoSet

_BATCHES = (32, 64, 128)
_LOG = logging.getLogger(__name__)


def step_seconds(
    task: str, photos: PhotoSet, batch: int, mode: GraphMode, *, count: int
) -> tuple[float, float, GraphMode]:
    """Return what a step takes, what it occupies the processor, and what was recorded.

    Parameters
    ----------
    task
        Which network.
    photos
        To fit on.
    batch
        Crops a step.
    mode
        What is to be recorded.
    count
        Steps measured, after those that warm up.

    Returns
    -------
    tuple
        Seconds a step, seconds until the processor has launched it, and the mode it came to.
    """
    device = photos.pixels.device
    with TemporaryDirectory() as folder:
        run = Run(TASKS[task](), Path(folder), device, 0, None)
    steps = Steps(run.task, run.network, photos, batch, mode)
    index = torch.arange(batch, device=device) % len(photos)
    for _ in range(WARM_UP + 2):
        run.advance(steps, index, 0.5)
    _wait(device)
    begun = time.perf_counter()
    for _ in range(count):
        run.advance(steps, index, 0.5)
    launched = time.perf_counter() - begun
    _wait(device)
    return (time.perf_counter() - begun) / count, launched / count, steps.mode


def _wait(device: torch.device) -> None:
    if device.type == "cuda":
        torch.cuda.synchronize(device)


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure as the command line says."""
    parser = argparse.ArgumentParser(description="Measures how fast a network is fitted.")
    parser.add_argument("task", choices=sorted(TASKS))
    parser.add_argument("pack", type=Path)
    parser.add_argument("--device", default="cuda:0" if torch.cuda.is_available() else "cpu")
    parser.add_argument("--steps", type=int, default=60, help="measured of each kind")
    parser.add_argument("--batch", type=int, nargs="+", default=_BATCHES)
    options = parser.parse_args(arguments)
    compute_fast()
    device = torch.device(options.device)
    photos = load_sets([options.pack], options.task, device=device)
    modes = list(GraphMode) if device.type == "cuda" else [GraphMode.NONE]
    for batch in options.batch:
        for mode in modes:
            seconds, launched, came_to = step_seconds(
                options.task, photos, batch, mode, count=options.steps
            )
            _LOG.info(
                "batch %d, --graph %s: %.1f ms a step (%.1f ms to launch it), %.0f crops/s%s",
                batch, mode, 1e3 * seconds, 1e3 * launched, batch / seconds,
                "" if came_to is mode else f"; it came to {came_to}",
            )  # fmt: skip


if __name__ == "__main__":
    run_command(main)
