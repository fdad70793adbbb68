"""Runs the jobs: as many at once as there is room for, until all are done or time is up.

What is done is kept in the work folder, ``state/NAME.json``, with a digest of the command and of
all that went into it, so that a changed recipe makes anew what it changes and nothing else. What
each job says goes to ``logs/NAME.log``.
"""

from __future__ import annotations

import contextlib
import json
import logging
import os
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import spikecheck
from spikecheck.errors import TrainingError
from spikecheck.model_training.make_job import Use, fingerprints, startable
from spikecheck.synthetic.manifest import write_whole

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.model_training.make_job import Job
    from spikecheck.model_training.make_machine import Machine

_LOOK_EVERY_S = 0.2
_STOP_BEFORE_S = 20.0  # for a fit to write its checkpoint
_PATIENCE_S = 15.0
_WORTH_STARTING_S = 10.0
_THREADS = {Use.GPU: "4"}  # of arithmetic libraries; others use one process a core
_RENDERERS = 7 / 8  # of the cores: some are left to what composes and fits meanwhile
_LOG = logging.getLogger(__name__)


@dataclass(slots=True)
class State:
    """What is known of one job.

    Parameters
    ----------
    fingerprint
        Of what was begun last.
    done
        Whether it came to its end.
    seconds
        Spent on it, over all calls.
    """

    fingerprint: str = ""
    done: bool = False
    seconds: float = 0.0


@dataclass(slots=True)
class _Running:
    job: Job
    gpu: str
    process: subprocess.Popen[bytes]
    begun: float


@dataclass(slots=True)
class Runner:
    """Runs jobs in a work folder.

    Parameters
    ----------
    folder
        Of the work.
    machine
        GPUs and cores.
    jobs
        In the order of their urgency, each after those it needs.
    until_s
        Seconds after which all is stopped; None for never.
    """

    folder: Path
    machine: Machine
    jobs: Sequence[Job]
    until_s: float | None = None
    failed: dict[str, str] = field(default_factory=dict)
    _begun: float = field(default_factory=time.monotonic)
    _running: dict[str, _Running] = field(default_factory=dict)
    _told_to_stop: list[int] = field(default_factory=list)

    def state(self, job: Job) -> State:
        """Return what is known of a job."""
        try:
            text = (self.folder / "state" / f"{job.name}.json").read_text(encoding="utf-8")
            return State(**json.loads(text))
        except (OSError, ValueError, TypeError):
            return State()

    def done(self) -> set[str]:
        """Return the names of jobs that are done as they stand now."""
        prints = fingerprints(self.jobs)
        states = {job.name: self.state(job) for job in self.jobs}
        return {
            job.name for job in self.jobs
            if states[job.name].done and states[job.name].fingerprint == prints[job.name]
            and (self.folder / job.gives).exists()
        }  # fmt: skip

    def run(self, others: set[str]) -> bool:
        """Run what is not done of all jobs but some; return whether all of it is now.

        What was told to stop, or ran out of time, goes on at the next call.
        """
        prints, done = fingerprints(self.jobs), self.done()
        before = {
            number: signal.signal(number, lambda number, _: self._told_to_stop.append(number))
            for number in (signal.SIGTERM, signal.SIGINT)
        }
        try:
            while not self._time_is_up():
                waiting = {name: one.gpu for name, one in self._running.items()}
                given_up = others | set(self.failed)
                if self._left() > _WORTH_STARTING_S:
                    for job, gpu in startable(
                        self.jobs, done, waiting, given_up, self.machine.gpus
                    ):
                        self._start(job, gpu, prints[job.name])
                if not self._running:
                    break
                done |= self._ended(prints)
                time.sleep(_LOOK_EVERY_S)
        finally:
            self._stop(prints)
            for number, handler in before.items():
                signal.signal(number, handler)
        done = self.done()
        return all(job.name in done for job in self.jobs if job.name not in others)

    def _left(self) -> float:
        """Return seconds until everything is stopped."""
        if self.until_s is None:
            return float("inf")
        return self.until_s - _STOP_BEFORE_S - (time.monotonic() - self._begun)

    def _time_is_up(self) -> bool:
        return bool(self._told_to_stop) or self._left() <= 0

    def _start(self, job: Job, gpu: str, fingerprint: str) -> None:
        state = self.state(job)
        if state.fingerprint not in ("", fingerprint):
            for place in job.clears:
                _remove(self.folder / place)
            state = State()
        self._write(job, State(fingerprint, seconds=state.seconds))
        for place in (job.gives, f"logs/{job.name}.log"):
            (self.folder / place).parent.mkdir(parents=True, exist_ok=True)
        command = [sys.executable, "-m", *job.command, *self._how(job, gpu)]
        with (self.folder / "logs" / f"{job.name}.log").open("ab") as log:
            log.write(f"$ {' '.join(command[1:])}\n".encode())
            log.flush()
            process = subprocess.Popen(  # noqa: S603  (this interpreter, our own modules)
                command, cwd=self.folder, env=self._environment(job, gpu), stdout=log, stderr=log,
                stdin=subprocess.DEVNULL, start_new_session=True,
            )  # fmt: skip
        self._running[job.name] = _Running(job, gpu, process, time.monotonic())
        self._tell(f"{job.name} {'goes on' if state.seconds else 'begins'}"
                   f"{f' on GPU {gpu}' if gpu else ''}")  # fmt: skip

    def _how(self, job: Job, gpu: str) -> list[str]:
        filled = {
            "workers": str(self.machine.workers),
            "renderers": str(max(1, int(self.machine.workers * _RENDERERS))),
            "gpus": ",".join(self.machine.gpus), "device": "cuda:0" if gpu else "cpu",
        }  # fmt: skip
        return [part.format(**filled) for part in job.how]

    def _environment(self, job: Job, gpu: str) -> dict[str, str]:
        place = str(Path(spikecheck.__file__).parents[1])
        path = os.pathsep.join(filter(None, (place, os.environ.get("PYTHONPATH"))))
        found = {**os.environ, "PYTHONPATH": path}
        for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
            found[name] = _THREADS.get(job.use, "1")
        if gpu:
            found["CUDA_VISIBLE_DEVICES"] = gpu
        return found

    def _ended(self, prints: dict[str, str]) -> set[str]:
        """Take note of what has ended; return what is done."""
        done = set()
        for name, one in list(self._running.items()):
            code = one.process.poll()
            if code is None:
                continue
            del self._running[name]
            if self._note(one, code, prints[name]):
                done.add(name)
            else:
                self.failed[name] = f"exit code {code}; see logs/{name}.log"
                self._tell(f"{name} FAILED: {self.failed[name]}\n{self._last_lines(name)}")
        return done

    def _note(self, one: _Running, code: int, fingerprint: str) -> bool:
        """Keep how a job ended; return whether it is done."""
        took = time.monotonic() - one.begun
        there = (self.folder / one.job.gives).exists()
        done = (code == 0 or code in one.job.tolerated) and there
        seconds = self.state(one.job).seconds + took
        self._write(one.job, State(fingerprint, done, seconds))
        if done:
            remark = (
                "" if code == 0 else f" (exit code {code}: {self._last_lines(one.job.name, 1)})"
            )
            self._tell(f"{one.job.name} done in {took:.0f} s{remark}")
        return done

    def _stop(self, prints: dict[str, str]) -> None:
        """Stop all that runs; fits write a checkpoint when they are told."""
        for one in self._running.values():
            with contextlib.suppress(ProcessLookupError):
                os.killpg(one.process.pid, signal.SIGTERM)
        for name, one in self._running.items():
            try:
                code = one.process.wait(_PATIENCE_S)
            except subprocess.TimeoutExpired:
                code = -signal.SIGKILL
            with contextlib.suppress(ProcessLookupError):  # also what it may have left behind
                os.killpg(one.process.pid, signal.SIGKILL)
            one.process.wait()
            if not self._note(one, code, prints[name]):
                self._tell(f"{name} stopped; goes on at the next call")
        self._running.clear()

    def _write(self, job: Job, state: State) -> None:
        place = self.folder / "state" / f"{job.name}.json"
        place.parent.mkdir(parents=True, exist_ok=True)
        entry = {"fingerprint": state.fingerprint, "done": state.done, "seconds": state.seconds}
        write_whole(place, json.dumps(entry).encode())

    def _tell(self, what: str) -> None:
        _LOG.info("%6.0f s  %s", time.monotonic() - self._begun, what)

    def _last_lines(self, name: str, count: int = 8) -> str:
        log = self.folder / "logs" / f"{name}.log"
        lines = log.read_text(encoding="utf-8", errors="replace").splitlines()
        return "\n".join(lines[-count:])


def _remove(place: Path) -> None:
    if place.is_dir() and not place.is_symlink():
        shutil.rmtree(place)
    else:
        place.unlink(missing_ok=True)


def claim_work_folder(folder: Path) -> None:
    """Make the work folder, or check that it is one: jobs take away what they make anew in it.

    Raises
    ------
    TrainingError
        If the folder holds something else.
    """
    mark = folder / "state"
    if folder.is_dir() and any(folder.iterdir()) and not mark.is_dir():
        raise TrainingError(
            "holds something else", where=str(folder), cure="Name a new folder with --out"
        )
    mark.mkdir(parents=True, exist_ok=True)
