"""Fits a network on photo sets with truth.

::

    python -m spikecheck.model_training.fit florets --sets SET... --validate SET... --out RUN \
        --minutes 10 --seed 1 [--leave-out light=sun] [--share 0.25] [--from RUN] [--device cuda:0]

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
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import torch

from spikecheck.errors import SpikecheckError, TrainingError
from spikecheck.model_training.averaged import Averaged
from spikecheck.model_training.pack import pack_set
from spikecheck.model_training.photo_set import load_sets
from spikecheck.model_training.run_files import (
    CHECKPOINT,
    FITTED,
    load_values,
    log_line,
    save_whole,
    start_weights,
    write_recipe,
)
from spikecheck.model_training.task_florets import FloretsTask
from spikecheck.model_training.task_overview import OverviewTask

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from torch import Tensor, nn

    from spikecheck.model_training.photo_set import PhotoSet

TASKS: dict[str, type[FloretsTask | OverviewTask]] = {
    "florets": FloretsTask, "overview": OverviewTask,
}  # fmt: skip
_PEAK_RATE, _FINE_TUNING_RATE = 2e-3, 4e-4
_WARM_UP = 0.05  # share of the run
_LAST_RATE = 0.01  # of the peak
_DECAY = 0.02
_LARGEST_GRADIENT = 5.0
_LOG_EVERY = 50  # steps
_STRANGENESS_VIEWS = 1500
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
    """

    minutes: float | None = None
    steps: int | None = None
    save_every_s: float = 60.0
    measure_every_s: float = 120.0
    measured: int = 150

    def gone(self, step: int, seconds: float) -> float:
        """Return the share that is used up, 0..1."""
        if self.steps is not None:
            return min(1.0, step / self.steps)
        return min(1.0, seconds / (60 * (self.minutes or 1e-9)))


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

    Raises
    ------
    TrainingError
        If the loss is no number.
    """
    device = photos.pixels.device
    run = _Run(task, folder, device, seed, start)
    stopped = _listen()
    batches = _batches(len(photos), batch or task.batch, seed + run.step)
    saved = measured = logged = time.monotonic()
    begun, sums = time.monotonic() - run.seconds, dict[str, Any]()
    while (gone := budget.gone(run.step, time.monotonic() - begun)) < 1 and not stopped:
        parts = run.advance(photos, next(batches).to(device), gone)
        for name, part in parts.items():
            sums[name] = sums.get(name, 0) + part.detach()
        run.seconds = time.monotonic() - begun
        if run.step % _LOG_EVERY == 0:
            now = time.monotonic()
            _log(folder, run, sums, _LOG_EVERY / (now - logged), gone)
            logged, sums = now, {}
        if time.monotonic() - saved > budget.save_every_s:
            run.save()
            saved = time.monotonic()
        if validation is not None and time.monotonic() - measured > budget.measure_every_s:
            log_line(folder, {"step": run.step, "measured": run.measure(validation, budget)})
            measured = time.monotonic()
    run.save()
    if stopped:
        _LOG.info("stopped at step %d; the same command goes on", run.step)
        return False
    run.finish(photos, validation, budget)
    return True


class _Run:
    """Everything that changes while a network is fitted."""

    def __init__(
        self,
        task: FloretsTask | OverviewTask,
        folder: Path,
        device: torch.device,
        seed: int,
        start: Path | None,
    ) -> None:
        torch.manual_seed(seed)
        self.task, self.folder = task, folder
        self.network = task.network().to(device).to(memory_format=torch.channels_last)
        if start is not None:
            self.network.load_state_dict(start_weights(start, device))
        self.peak = _PEAK_RATE if start is None else _FINE_TUNING_RATE
        self.averaged = Averaged(self.network)
        self.optimiser = torch.optim.AdamW(_groups(self.network), lr=self.peak)
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

    def advance(self, photos: PhotoSet, index: Tensor, gone: float) -> dict[str, Any]:
        """Take one step; return the parts of the loss."""
        for group in self.optimiser.param_groups:
            group["lr"] = self.peak * _rate(gone)
        self.network.train()
        parts = self.task.loss(self.network, photos, index)
        self.optimiser.zero_grad(set_to_none=True)
        sum(parts.values()).backward()
        torch.nn.utils.clip_grad_norm_(self.network.parameters(), _LARGEST_GRADIENT)
        self.optimiser.step()
        self.averaged.update(self.network)
        self.step += 1
        return parts

    @torch.no_grad()
    def measure(self, validation: PhotoSet, budget: Budget) -> dict[str, float]:
        figures = self.task.measure(self.averaged.network, validation, budget.measured)
        text = " ".join(f"{name} {value:.3f}" for name, value in figures.items())
        _LOG.info("step %d: %s", self.step, text)
        return figures

    def save(self) -> None:
        save_whole(
            {
                "network": self.network.state_dict(), "optimiser": self.optimiser.state_dict(),
                "averaged": self.averaged.state(), "step": self.step, "seconds": self.seconds,
            },
            self.folder / CHECKPOINT,
        )  # fmt: skip

    @torch.no_grad()
    def finish(self, photos: PhotoSet, validation: PhotoSet | None, budget: Budget) -> None:
        network = self.averaged.network
        features = self.task.features(network, photos, _STRANGENESS_VIEWS).float()
        network.strangeness.settle(features)
        strange = network.strangeness(features).flatten()
        figures = {} if validation is None else self.measure(validation, budget)
        figures["strangeness_999"] = float(strange.quantile(0.999))
        if validation is not None:
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


def _batches(count: int, batch: int, seed: int) -> Iterator[Tensor]:
    """Yield numbers of views, each view once before any comes again."""
    generator = torch.Generator().manual_seed(seed)
    waiting = torch.empty(0, dtype=torch.int64)
    while True:
        while len(waiting) < batch:
            waiting = torch.cat([waiting, torch.randperm(count, generator=generator)])
        yield waiting[:batch]
        waiting = waiting[batch:]


def _listen() -> list[int]:
    """Return a list that SIGTERM puts something into."""
    told: list[int] = []
    signal.signal(signal.SIGTERM, lambda number, _: told.append(number))
    return told


def _log(folder: Path, run: _Run, sums: dict[str, Any], pace: float, gone: float) -> None:
    means = {name: float(total) / _LOG_EVERY for name, total in sums.items()}
    total = sum(means.values())
    if not math.isfinite(total):
        raise TrainingError(
            f"the loss is no number at step {run.step}", where=str(folder),
            cure="Give the command again: it goes on from the last checkpoint",
        )  # fmt: skip
    log_line(folder, {"step": run.step, "gone": gone, "steps_per_s": pace, "loss": means})
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
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--leave-out", nargs="*", default=[], metavar="KIND=FAMILY")
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--from", dest="start", type=Path, help="run or checkpoint to start from")
    parser.add_argument("--batch", type=int)
    parser.add_argument("--device", default="cuda:0" if torch.cuda.is_available() else "cpu")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="for packing")
    options = parser.parse_args(arguments)
    if (options.minutes is None) == (options.steps is None):
        parser.error("give either --minutes or --steps")
    if any("=" not in pair for pair in options.leave_out):
        parser.error("--leave-out takes KIND=FAMILY")
    return options


def main(arguments: Sequence[str] | None = None) -> bool:
    """Fit one network as the command line says; return whether it was finished."""
    options = _arguments(arguments)
    torch.backends.cudnn.benchmark = True
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.allow_tf32 = True
    task, device = TASKS[options.task](), torch.device(options.device)
    leave_out = [tuple(pair.split("=", 1)) for pair in options.leave_out]
    photos = load_sets(
        [_packed(place, options.workers) for place in options.sets], task.name, device=device,
        leave_out=leave_out, share=options.share, seed=options.seed,
    )  # fmt: skip
    validation = None
    if options.validate:
        packs = [_packed(place, options.workers) for place in options.validate]
        validation = load_sets(packs, task.name, device=device)
    write_recipe(options.out, {
        "task": task.name, "seed": options.seed, "minutes": options.minutes,
        "steps": options.steps, "leave_out": options.leave_out, "share": options.share,
        "batch": options.batch or task.batch, "set_sha256": photos.sha256, "photos": len(photos),
        "from": None if options.start is None else options.start.name,
    })  # fmt: skip
    return fit(
        task, photos, validation, options.out,
        Budget(minutes=options.minutes, steps=options.steps), seed=options.seed,
        start=options.start, batch=options.batch,
    )  # fmt: skip


if __name__ == "__main__":
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(message)s", datefmt="%H:%M:%S")
    try:
        main()
    except SpikecheckError as error:
        sys.stderr.write(f"{error}\n")
        sys.exit(2)
