"""One piece of work of making the networks: a command, what it needs, and what it leaves."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

STAGES = (
    "render", "compose", "pack", "fit", "export", "tune", "calibrate", "card",
    "carry_over", "learning_curve", "ablation", "studies_card",
)  # fmt: skip
WORKERS = ("--workers", "{workers}")  # how most commands are told of the cores
_LOOKING_AT_ONCE = 3


class Use(StrEnum):
    """What a job keeps busy."""

    RENDER = "render"
    """The cores, and all GPUs in part."""
    CORES = "cores"
    """All cores."""
    LOOKING = "looking"
    """All cores, with pauses at begin and end in which others of the kind go on."""
    GPU = "gpu"
    """One GPU and a few cores: a recorded step is launched at once."""
    LITTLE = "little"
    """Next to nothing, or all cores for seconds."""


_APART: Mapping[Use, tuple[Use, ...]] = {  # what each cannot share the machine with
    Use.RENDER: (Use.RENDER,),
    Use.CORES: (Use.CORES, Use.LOOKING),
    Use.LOOKING: (Use.CORES,),
    Use.GPU: (),
    Use.LITTLE: (),
}


@dataclass(frozen=True, slots=True)
class Job:
    """One piece of work.

    Parameters
    ----------
    name
        Tells it from the others.
    stage
        One of :data:`STAGES`.
    command
        Module and arguments that decide what comes out; paths are relative to the work folder.
    use
        What it keeps busy.
    needs
        Names of jobs that must be done before.
    gives
        File or folder that is there afterwards: without it the job has failed or was stopped.
    seconds
        About how long it takes.
    clears
        Files and folders to take away before a job begins that was changed since it was last
        begun.
    how
        Arguments that decide how, not what: ``{workers}``, ``{renderers}``, ``{gpus}`` and
        ``{device}`` are filled in.
    tolerated
        Exit codes other than 0 with which the outcome is still to be used.
    """

    name: str
    stage: str
    command: tuple[str, ...]
    use: Use
    needs: tuple[str, ...]
    gives: str
    seconds: float
    clears: tuple[str, ...] = ()
    how: tuple[str, ...] = ()
    tolerated: tuple[int, ...] = ()


def fingerprints(jobs: Sequence[Job]) -> dict[str, str]:
    """Return a digest of each job's command and of all that it needs, by name.

    Jobs come after those they need.
    """
    found: dict[str, str] = {}
    for job in jobs:
        parts = [list(job.command), [found[name] for name in job.needs]]
        found[job.name] = hashlib.sha256(json.dumps(parts).encode()).hexdigest()
    return found


def startable(
    jobs: Sequence[Job],
    done: set[str],
    running: Mapping[str, str],
    given_up: set[str],
    gpus: Sequence[str],
) -> list[tuple[Job, str]]:
    """Return the jobs that may begin now, each with its GPU (empty where none is used).

    One fit takes one GPU. Rendering waits for the cores more than for GPUs: composing beside it is
    fine, and fitting too, which then takes about two thirds of its steps a second (25 instead of 38
    on an H200 with 16 cores). Other kinds of work that each take all cores exclude each other.
    Without a GPU one job runs at a time. A job that waits for room is not overtaken by a later one
    that would take it.

    Parameters
    ----------
    jobs
        All jobs, the most urgent first.
    done, given_up
        Names.
    running
        GPU by name of each running job.
    gpus
        All GPUs; ``("",)`` where there is none.
    """
    by_name = {job.name: job for job in jobs}
    uses = [(by_name[name].use, gpu) for name, gpu in running.items()]
    starts: list[tuple[Job, str]] = []
    for job in jobs:
        if job.name in done or job.name in running or job.name in given_up:
            continue
        if not done.issuperset(job.needs):
            continue
        gpu = _room(job.use, uses, gpus)
        if gpu is not None:
            starts.append((job, gpu))
        # one that has to wait keeps its place as if it ran
        uses.append((job.use, gpus[0] if gpu is None and job.use is Use.GPU else gpu or ""))
    return starts


def _room(use: Use, uses: Sequence[tuple[Use, str]], gpus: Sequence[str]) -> str | None:
    """Return the GPU for a job, an empty text where it needs none, None where there is no room."""
    kinds = [kind for kind, _ in uses]
    without_gpu = tuple(gpus) == ("",)
    apart = set(_APART[use])
    if without_gpu and use is not Use.LITTLE:
        apart = set(Use) - {Use.LITTLE}  # renders take the cores too
    if apart.intersection(kinds) or (use is Use.LOOKING and kinds.count(use) >= _LOOKING_AT_ONCE):
        return None
    if use is not Use.GPU:
        return ""
    taken = {gpu for kind, gpu in uses if kind is Use.GPU}
    return next((gpu for gpu in gpus if gpu not in taken), None)
