"""Makes both networks, and studies them, from nothing but this repository and a seed.

::

    python -m spikecheck.model_training.make --out work

renders, composes, packs, fits, exports, tunes, calibrates and writes the cards, as
``models/recipe.toml`` says; then come the studies. The finished networks are in
``work/results/models``. It needs the extras ``render`` and ``train``, and takes every GPU there
is; without one it takes days: ``--scale 0.02`` shrinks all counts to try it out. What is done stays
done: stopped at any time, or by ``--until SECONDS``, the same command goes on. ``--without
'render_reporting'`` leaves jobs out, and so all that need them: a machine lent for minutes makes
the networks, and another, given the work folder, judges them. ``--plan`` only says what would be
done. It ends with 0 when all is done, 1 when it goes on at the next call and 2 when
something failed.
"""

from __future__ import annotations

import argparse
import logging
import sys
from fnmatch import fnmatchcase
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import TrainingError
from spikecheck.model_training.command import run
from spikecheck.model_training.make_collect import collect
from spikecheck.model_training.make_job import STAGES, startable
from spikecheck.model_training.make_jobs import RESULTS, main_jobs
from spikecheck.model_training.make_machine import Machine
from spikecheck.model_training.make_recipe_file import read_recipe_file
from spikecheck.model_training.make_run import Runner, claim_work_folder
from spikecheck.model_training.make_studies import study_jobs

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.model_training.make_job import Job

_RECIPE = Path("models") / "recipe.toml"
_GOES_ON, _FAILED = 1, 2
_LARGEST_RESULT = 16_000_000  # bytes: what a repository takes of one file
_LOG = logging.getLogger(__name__)


def planned(
    jobs: Sequence[Job], done: set[str], others: set[str], machine: Machine
) -> list[tuple[float, float, Job]]:
    """Return begin and end, s from now, of all but the ``others``, as it would go."""
    finished, now = set(done), 0.0
    running: dict[str, tuple[float, str, Job]] = {}
    plan: list[tuple[float, float, Job]] = []
    while True:
        gpus = {name: gpu for name, (_, gpu, _) in running.items()}
        for job, gpu in startable(jobs, finished, gpus, others, machine.gpus):
            running[job.name] = (now + job.seconds, gpu, job)
            plan.append((now, now + job.seconds, job))
        if not running:
            return plan
        name = min(running, key=lambda one: running[one][0])
        now = running.pop(name)[0]
        finished.add(name)


def plan_text(plan: Sequence[tuple[float, float, Job]], done: int) -> str:
    """Return the plan as lines."""
    lines = [f"{done} jobs are done"]
    lines += [
        f"{begin:6.0f} to {end:5.0f} s  {job.stage:14} {job.name}" for begin, end, job in plan
    ]
    total = max((end for _, end, _ in plan), default=0.0)
    return "\n".join([*lines, f"about {total / 60:.0f} minutes to go"])


def stage_table(runner: Runner, stages: Sequence[str]) -> str:
    """Return how far each stage is and what it took, over all calls."""
    done = runner.done()
    lines = [f"{'stage':14} {'done':>9}  {'seconds':>7}"]
    for stage in stages:
        jobs = [job for job in runner.jobs if job.stage == stage]
        ready = sum(job.name in done for job in jobs)
        spent = sum(runner.state(job).seconds for job in jobs)
        lines.append(f"{stage:14} {ready:>3} of {len(jobs):>2}  {spent:7.0f}")
    lines += [f"failed: {name} ({why})" for name, why in runner.failed.items()]
    return "\n".join(lines)


def left_out(jobs: Sequence[Job], stages: Sequence[str], without: Sequence[str]) -> set[str]:
    """Return the names of jobs that are not to be run.

    Parameters
    ----------
    jobs
        All jobs, each after those it needs.
    stages
        Jobs of others are not run; those that need them are, once they are done.
    without
        Patterns of names, as of files: neither these jobs are run nor any that need them.

    Raises
    ------
    TrainingError
        If no job is named like a pattern.
    """
    for pattern in without:
        if not any(fnmatchcase(job.name, pattern) for job in jobs):
            raise TrainingError(
                f"no job is named {pattern!r}", cure="Take a name that --plan shows"
            )
    found: set[str] = set()
    for job in jobs:
        named = any(fnmatchcase(job.name, pattern) for pattern in without)
        if named or found.intersection(job.needs):
            found.add(job.name)
    return found | {job.name for job in jobs if job.stage not in stages}


def _gpus(text: str | None) -> tuple[str, ...]:
    """Return the GPUs that were named, else all there are; an empty text alone for none."""
    if text is not None:
        return tuple(filter(None, text.split(","))) or ("",)
    import torch

    return tuple(str(number) for number in range(torch.cuda.device_count())) or ("",)


def _arguments(arguments: Sequence[str] | None) -> argparse.Namespace:
    from spikecheck.pipeline.batch_pool import core_count

    parser = argparse.ArgumentParser(
        prog="python -m spikecheck.model_training.make",
        description="Makes both networks, and studies them, as a recipe says.",
    )
    parser.add_argument("--recipe", type=Path, default=_RECIPE)
    parser.add_argument("--out", type=Path, default=Path("made"), help="work folder (made)")
    parser.add_argument("--stages", default=",".join(STAGES), help="of %(default)s")
    parser.add_argument("--gpus", help="such as 0,1; all when left out; an empty text for none")
    parser.add_argument("--workers", type=int, default=core_count(), help="processes")
    parser.add_argument("--scale", type=float, default=1.0, help="times all counts: 0.02 to try")
    parser.add_argument("--until", type=float, metavar="SECONDS", help="stop before this is over")
    parser.add_argument(
        "--without", nargs="*", default=[], metavar="JOB",
        help="leave out jobs named so, such as 'render_cal*', and those that need them",
    )  # fmt: skip
    parser.add_argument("--plan", action="store_true", help="only say what would be done")
    parser.add_argument(
        "--pack-photos", type=int, default=0, metavar="N",
        help="also pack the first N photos of the calibration and reporting sets",
    )  # fmt: skip
    options = parser.parse_args(arguments)
    options.stages = options.stages.split(",")
    if unknown := [stage for stage in options.stages if stage not in STAGES]:
        parser.error(f"no stage {unknown[0]}; there are {', '.join(STAGES)}")
    if not 0 < options.scale <= 1:
        parser.error("--scale is above 0 and at most 1")
    if options.workers < 1 or options.pack_photos < 0:
        parser.error("--workers is 1 or more, --pack-photos 0 or more")
    return options


def main(arguments: Sequence[str] | None = None) -> None:
    """Make what the recipe says, as far as time allows."""
    options = _arguments(arguments)
    recipe = read_recipe_file(options.recipe).scaled(options.scale)
    machine = Machine(_gpus(options.gpus), options.workers)
    jobs = [*main_jobs(recipe, machine), *study_jobs(recipe, machine)]
    folder = options.out.resolve()
    runner = Runner(folder, machine, jobs, options.until)
    others = left_out(jobs, options.stages, options.without)
    if options.plan:
        done = runner.done()
        _LOG.info("%s", plan_text(planned(jobs, done, others, machine), len(done)))
        return
    claim_work_folder(folder)
    complete = runner.run(others)
    files = collect(folder, recipe.version, photos=options.pack_photos)
    _LOG.info("%s", stage_table(runner, options.stages))
    _LOG.info("%d files in %s", len(files), folder / RESULTS)
    if heavy := [file for file in files if file.stat().st_size > _LARGEST_RESULT]:
        raise TrainingError("is larger than 16 MB", where=str(heavy[0]))
    if not complete:
        sys.exit(_FAILED if runner.failed else _GOES_ON)


if __name__ == "__main__":
    run(main)
