"""Fits a network on photo sets with truth.

::

    python -m spikecheck.model_training.fit florets --sets SET... --validate SET... --out RUN \
        --minutes 10 --seed 1 [--leave-out light=sun] [--from RUN] [--device cuda:0]

A set is a folder of photos, packed first when it has no ``packed`` folder in it, or a pack
(:mod:`spikecheck.model_training.pack`). The run ends when its minutes are used up, whatever a step
takes: the learning rate follows the share of time that has gone. A run that was stopped, also by
SIGTERM, goes on where it was when the same command is given again.
"""

from __future__ import annotations

import argparse
import logging
import math
import os
import signal
import time
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import torch

from spikecheck.errors import TrainingError
from spikecheck.model_training.command import run as run_command
from spikecheck.model_training.fit_run import STRANGENESS_VIEWS, TASKS, Budget, Run
from spikecheck.model_training.pack import pack_set
from spikecheck.model_training.photo_set import load_sets
from spikecheck.model_training.run_files import log_line, write_recipe
from spikecheck.model_training.steps import GraphMode, Steps, compute_fast

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from torch import Tensor

    from spikecheck.model_training.photo_set import PhotoSet
    from spikecheck.model_training.task_florets import FloretsTask
    from spikecheck.model_training.task_overview import OverviewTask

_LOG_EVERY = 50  # steps
_LOG = logging.getLogger(__name__)


def fit(
    task: FloretsTask | OverviewTask,
    photos: PhotoSet,
    validation: PhotoSet | None,
    folder: Path,
    budget: Budget,
    *,
    seed: int,
    start: Path | None = None,
    batch: int | None = None,
    graph: GraphMode | None = None,
) -> bool:
    """Fit a network; return whether it was finished, False when it was stopped.

    Parameters
    ----------
    task
        Which network.
    photos, validation
        What to fit on, and what to watch.
    folder
        Of the run.
    budget
        How long.
    seed
        Of order and variation.
    start
        A run or a file of it to start from.
    batch
        Crops a step; the task's own when None.
    graph
        What is recorded on a GPU; as much as works when None.

    Raises
    ------
    TrainingError
        If the loss is no number.
    """
    device = photos.pixels.device
    run = Run(task, folder, device, seed, start)
    batch = batch or task.batch
    steps = Steps(task, run.network, photos, batch, graph)
    batches = _batches(len(photos), batch, seed + run.step, device)
    with _listening() as stopped:
        _go_on(run, steps, batches, validation, budget, stopped=stopped)
    run.save()
    if stopped:
        _LOG.info("stopped at step %d; the same command goes on", run.step)
        return False
    run.finish(photos, validation, budget)
    return True


def _go_on(
    run: Run, steps: Steps, batches: Iterator[Tensor], validation: PhotoSet | None,
    budget: Budget, *, stopped: Sequence[int],
) -> None:  # fmt: skip
    """Take steps until the budget is used up or someone says stop."""
    saved = measured = logged = time.monotonic()
    begun, sums = saved - run.seconds, torch.zeros((), device=run.device)
    while (gone := budget.gone(run.step, time.monotonic() - begun)) < 1 and not stopped:
        sums = sums + run.advance(steps, next(batches), gone)
        now = time.monotonic()
        run.seconds = now - begun
        if run.step % _LOG_EVERY == 0:
            # the only place that waits for the device, which is never more than this behind
            means = dict(zip(steps.names, (sums / _LOG_EVERY).tolist(), strict=True))
            _log(run, means, _LOG_EVERY / (now - logged), gone)
            logged, sums = now, torch.zeros_like(sums)
        if now - saved > budget.save_every_s:
            run.save()
            saved = time.monotonic()
        if validation is not None and now - measured > budget.measure_every_s:
            log_line(run.folder, {"step": run.step, "measured": run.measure(validation, budget)})
            measured = logged = time.monotonic()


def _batches(count: int, batch: int, seed: int, device: torch.device) -> Iterator[Tensor]:
    """Yield numbers of views, on the device, each view once before any comes again."""
    generator = torch.Generator().manual_seed(seed)
    waiting = torch.empty(0, dtype=torch.int64, device=device)
    while True:
        while len(waiting) < batch:
            order = torch.randperm(count, generator=generator).to(device, non_blocking=True)
            waiting = torch.cat([waiting, order])
        yield waiting[:batch]
        waiting = waiting[batch:]


@contextmanager
def _listening() -> Iterator[list[int]]:
    """Give a list that SIGTERM puts something into."""
    told: list[int] = []
    before = signal.signal(signal.SIGTERM, lambda number, _: told.append(number))
    try:
        yield told
    finally:
        signal.signal(signal.SIGTERM, before)


def _log(run: Run, means: dict[str, float], pace: float, gone: float) -> None:
    total = sum(means.values())
    if not math.isfinite(total):
        raise TrainingError(
            f"the loss is no number at step {run.step}", where=str(run.folder),
            cure="Give the command again: it goes on from the last checkpoint",
        )  # fmt: skip
    log_line(run.folder, {"step": run.step, "gone": gone, "steps_per_s": pace, "loss": means})
    _LOG.info(
        "step %d, %.0f %%, %.1f steps/s, loss %.4f (%s)", run.step, 100 * gone, pace, total,
        ", ".join(f"{name} {value:.3f}" for name, value in means.items()),
    )  # fmt: skip


def _packed(place: Path, workers: int) -> Path:
    """Return the pack of a set, made first if need be."""
    if (place / "tables.npz").is_file():
        return place
    pack = place / "packed"
    if not (pack / "tables.npz").is_file():
        pack_set(place, pack, workers=workers)
    return pack


def _arguments(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Fits a network on photo sets with truth.")
    parser.add_argument("task", choices=sorted(TASKS))
    parser.add_argument("--sets", nargs="+", type=Path, required=True)
    parser.add_argument("--validate", nargs="*", type=Path, default=[])
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--minutes", type=float, help="of fitting")
    parser.add_argument("--steps", type=int, help="in place of --minutes")
    parser.add_argument(
        "--views", type=int, default=STRANGENESS_VIEWS, help="that strangeness is settled on"
    )
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--leave-out", nargs="*", default=[], metavar="KIND=FAMILY")
    parser.add_argument("--from", dest="start", type=Path, help="run or checkpoint to start from")
    parser.add_argument("--batch", type=int)
    parser.add_argument("--device", default="cuda:0" if torch.cuda.is_available() else "cpu")
    parser.add_argument(
        "--graph", choices=list(GraphMode), type=GraphMode,
        help="what is recorded on a GPU and played back; as much as works when not given",
    )  # fmt: skip
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="for packing")
    options = parser.parse_args(arguments)
    if (options.minutes is None) == (options.steps is None):
        parser.error("give either --minutes or --steps")
    if any("=" not in pair for pair in options.leave_out):
        parser.error("--leave-out takes KIND=FAMILY")
    return options


def main(arguments: Sequence[str] | None = None) -> None:
    """Fit one network as the command line says."""
    options = _arguments(arguments)
    compute_fast()
    task, device = TASKS[options.task](), torch.device(options.device)
    leave_out = [tuple(pair.split("=", 1)) for pair in options.leave_out]
    photos = load_sets(
        [_packed(place, options.workers) for place in options.sets], task.name, device=device,
        leave_out=leave_out,
    )  # fmt: skip
    validation = None
    if options.validate:
        packs = [_packed(place, options.workers) for place in options.validate]
        validation = load_sets(packs, task.name, device=device)
    write_recipe(options.out, {
        "task": task.name, "seed": options.seed, "minutes": options.minutes,
        "steps": options.steps, "leave_out": options.leave_out,
        "batch": options.batch or task.batch, "set_sha256": photos.sha256, "photos": len(photos),
        "from": None if options.start is None else options.start.name,
    })  # fmt: skip
    fit(
        task, photos, validation, options.out,
        Budget(minutes=options.minutes, steps=options.steps, views=options.views),
        seed=options.seed,
        start=options.start, batch=options.batch, graph=options.graph,
    )  # fmt: skip


if __name__ == "__main__":
    run_command(main)
